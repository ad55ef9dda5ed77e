import { element, placeAt, say } from "./element.ts";
import type { Handle, HandleKey } from "./handle.ts";
import { svgNode } from "./svgNode.ts";

/** What the handles of a picture tell the page. */
export interface HandleEvents {
  /** tapped, and neither pulled nor typed into */
  readonly tapped?: (key: HandleKey) => void;
  /** moved, to this text */
  readonly moved: (key: HandleKey, text: string) => void;
  /** taken hold of or let go */
  readonly held: (key: HandleKey | null) => void;
}

/** The handles over a picture. */
export interface HandleLayer {
  /** puts each where it belongs, within a width [px]; one that is new is made, one that is gone taken away */
  readonly show: (handles: readonly Handle[], width: number) => void;
  /** says beside a handle why something cannot be; "" takes it back */
  readonly refuse: (key: HandleKey, words: string) => void;
}

/**
 * Handles over a picture, each a slider of its own: it is pulled, moved by keys, or its value typed (Enter or a double click).
 *
 * @param picture  the element that holds the drawing; places are counted from its upper left corner
 */
export function handleLayer(picture: HTMLElement, events: HandleEvents): HandleLayer {
  const known = new Map<HandleKey, Slider>();
  const refusal = element("p", { class: "refusal", role: "alert" });
  refusal.hidden = true;
  picture.append(refusal);
  return {
    show: (handles, width) => {
      for (const handle of spread(handles, width)) {
        let slider = known.get(handle.key);
        if (slider === undefined) {
          slider = makeSlider(picture, handle, events);
          known.set(handle.key, slider);
        }
        slider.show(handle);
      }
      for (const [key, slider] of known) {
        if (handles.some((handle) => handle.key === key)) continue;
        slider.root.remove();
        known.delete(key);
      }
    },
    refuse: (key, words) => {
      const slider = known.get(key);
      refusal.hidden = words === "" || slider === undefined;
      refusal.textContent = words;
      if (slider === undefined || words === "") return;
      const { x, y } = slider.handle();
      const width = Math.min(320, picture.clientWidth - 16);
      refusal.style.width = `${width}px`;
      refusal.style.left = `${Math.max(8, Math.min(picture.clientWidth - width - 8, x - width / 2))}px`;
      refusal.style.top = `${y + 44}px`;
    },
  };
}

/** Handles whose knobs would lie on each other moved apart, across the way they are pulled; the last one, the hour, stays. */
function spread(handles: readonly Handle[], width: number): Handle[] {
  const placed: Handle[] = [];
  for (const handle of handles.toReversed()) {
    let { x, y } = handle;
    for (const other of placed) {
      if (Math.abs(other.x - x) >= APART || Math.abs(other.y - y) >= APART) continue;
      if (handle.along === "across") y = other.y + (y >= other.y ? APART : -APART);
      else x = other.x + (x > other.x || other.x < APART ? APART : -APART);
    }
    x = Math.max(11, Math.min(width - 11, x));
    placed.push(x === handle.x && y === handle.y ? handle : { ...handle, x, y });
  }
  return placed.reverse();
}

/** [px] a finger's width */
const APART = 44;

interface Slider {
  readonly root: HTMLElement;
  readonly handle: () => Handle;
  readonly show: (handle: Handle) => void;
}

function makeSlider(picture: HTMLElement, first: Handle, events: HandleEvents): Slider {
  let handle = first;
  const words = element("span", { class: "words" });
  const root = element("div", { class: "handle", role: "slider", tabindex: "0", "data-key": first.key });
  const grip = element("span", { class: "grip" });
  grip.append(knob(first.along));
  root.append(grip, words);
  picture.append(root);
  const moved = (text: string | null): void => {
    if (text !== null) events.moved(handle.key, text);
  };
  // what was typed stays to be mended where it was refused
  let typed: string | null = null;
  const type = (): void => typeValue(picture, root, handle, typed ?? handle.typed, (text) => {
    typed = text;
    moved(text);
  });
  // keys that come faster than frames all count: they add up until the handle is drawn again
  let pressed = { small: 0, large: 0 };
  root.addEventListener("keydown", (event) => {
    if (event.target !== root || event.ctrlKey || event.altKey || event.metaKey) return;
    if (event.key === " " && events.tapped !== undefined && handle.key === "hour") {
      event.preventDefault();
      events.tapped(handle.key);
      return;
    }
    const press = handleKey(handle, event.key);
    if (press === null && event.key !== "Enter") return;
    event.preventDefault();
    if (press === null) type();
    else if ("to" in press) moved(press.to);
    else {
      pressed = { ...pressed, [press.large ? "large" : "small"]: pressed[press.large ? "large" : "small"] + press.steps };
      moved(handle.step(press.large ? pressed.large : pressed.small, press.large));
    }
  });
  root.addEventListener("dblclick", type);
  pulls(root, () => handle, moved, events);
  return {
    root,
    handle: () => handle,
    show: (next) => {
      if (next.typed !== handle.typed) typed = null;
      handle = next;
      pressed = { small: 0, large: 0 };
      const look = `handle ${next.side} ${next.along}${root.classList.contains("held") ? " held" : ""}`;
      if (root.className !== look) root.className = look;
      placeAt(root, next.x, next.y);
      root.style.color = next.color;
      say(words, next.words);
      const attributes = {
        "aria-label": next.name, "aria-orientation": next.along === "up" ? "vertical" : "horizontal", "aria-valuemin": rounded(next.least),
        "aria-valuemax": rounded(next.most), "aria-valuenow": rounded(next.value), "aria-valuetext": next.spoken,
      };
      for (const [key, value] of Object.entries(attributes)) if (root.getAttribute(key) !== value) root.setAttribute(key, value);
    },
  };
}

function rounded(value: number): string {
  return String(Number(value.toPrecision(6)));
}

// Less than this is a finger that trembles, not a pull [px].
const TREMBLE = 3;

/** Pulls of the knob by mouse, pen or finger: what is under the pointer when it is pressed stays under it. All else scrolls the page. */
function pulls(root: HTMLElement, handle: () => Handle, moved: (text: string) => void, { held, tapped }: HandleEvents): void {
  const grip = root.querySelector<HTMLElement>(".grip")!;
  let pull: { readonly x: number; readonly y: number; readonly to: (right: number, down: number) => string } | null = null;
  let last = "";
  let started = false;
  grip.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    pull = { x: event.clientX, y: event.clientY, to: handle().grab() };
    [last, started] = ["", false];
    grip.setPointerCapture(event.pointerId);
  });
  grip.addEventListener("pointermove", (event) => {
    if (pull === null) return;
    const [right, down] = [event.clientX - pull.x, event.clientY - pull.y];
    if (!started) {
      if (Math.hypot(right, down) <= TREMBLE) return;
      started = true;
      held(handle().key);
      // the scale may be another one now
      pull = { ...pull, to: handle().grab() };
    }
    const text = pull.to(right, down);
    if (text === last) return;
    last = text;
    root.classList.add("held");
    moved(text);
  });
  for (const end of ["pointerup", "pointercancel"] as const) {
    grip.addEventListener(end, () => {
      if (pull === null) return;
      pull = null;
      root.classList.remove("held");
      if (started) held(null);
      else if (end === "pointerup") tapped?.(handle().key);
    });
  }
}

/** Lets a person type a value where the handle sits: Enter takes it, Escape leaves all as it is. */
function typeValue(picture: HTMLElement, root: HTMLElement, handle: Handle, value: string, moved: (text: string) => void): void {
  picture.querySelector(".typed")?.remove();
  const input = element("input", { type: "text", "aria-label": `${handle.name}, with its unit`, autocomplete: "off", spellcheck: "false", maxlength: "60" });
  input.value = value;
  const form = element("form", { class: "typed" }, input, element("span", {}, "Enter takes it, Esc leaves it"));
  const width = 178;
  form.style.left = `${Math.max(4, Math.min(picture.clientWidth - width - 4, handle.x - width / 2))}px`;
  form.style.top = `${handle.y - 18}px`;
  // taking the form away takes the focus from it, which would take it away once more
  let isOpen = true;
  const close = (): void => {
    if (!isOpen) return;
    isOpen = false;
    form.remove();
    root.focus();
  };
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const text = input.value.trim();
    close();
    moved(text);
  });
  form.addEventListener("keydown", (event) => {
    if (event.key === "Escape") close();
  });
  form.addEventListener("focusout", (event) => {
    if (!isOpen || form.contains(event.relatedTarget as Node | null)) return;
    isOpen = false;
    form.remove();
  });
  picture.append(form);
  input.focus();
  input.select();
}

/** What a key asks for: steps, small or large, or one of the ends. */
type KeyPress = { readonly steps: number; readonly large: boolean } | { readonly to: string };

/**
 * What a key makes of a handle: arrows a step, page keys ten (or twice), Home and End its ends, as sliders are used everywhere.
 *
 * @returns  null for a key that means nothing here
 */
export function handleKey({ ends }: Pick<Handle, "ends">, key: string): KeyPress | null {
  switch (key) {
    case "ArrowUp": case "ArrowRight": return { steps: 1, large: false };
    case "ArrowDown": case "ArrowLeft": return { steps: -1, large: false };
    case "PageUp": return { steps: 1, large: true };
    case "PageDown": return { steps: -1, large: true };
    case "Home": return { to: ends[0] };
    case "End": return { to: ends[1] };
    default: return null;
  }
}

/** The sign that says what can be pulled, and which way: a ring with two arrows. */
function knob(along: Handle["along"]): SVGElement {
  return svgNode("svg", { class: "knob", width: 22, height: 22, viewBox: "-11 -11 22 22", "aria-hidden": "true" }, [
    svgNode("circle", { r: 9.5, fill: "#fff", stroke: "currentColor", "stroke-width": 1.6 }),
    svgNode("path", {
      d: "M-3 -2.2L0 -6L3 -2.2M-3 2.2L0 6L3 2.2", transform: along === "up" ? null : "rotate(90)", fill: "none", stroke: "currentColor",
      "stroke-width": 1.8, "stroke-linecap": "round", "stroke-linejoin": "round",
    }),
  ]);
}
