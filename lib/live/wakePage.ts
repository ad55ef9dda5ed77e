import { answerSentence } from "../figures/answer.ts";
import { headline } from "../figures/headline.ts";
import { rainText } from "../figures/rainPanel.ts";
import { sectionAnswer } from "../figures/sectionAnswer.ts";
import { sectionCaption } from "../figures/sectionCaption.ts";
import { liveAnswers } from "../report/liveAnswers.ts";
import { whyPitStands } from "../report/whyPitStands.ts";
import { lastingData } from "../schema/lastingData.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import type { UnitSystem } from "../text/format.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { InputError } from "../text/problem.ts";
import { readQuantity } from "../text/quantity.ts";
import { capital, visible } from "../text/words.ts";
import { addressOf, stateOf } from "./address.ts";
import type { FileData } from "./editedFile.ts";
import { byId, say } from "./element.ts";
import type { HandleKey } from "./handle.ts";
import { type Held, levelPicture } from "./levelPicture.ts";
import { hourRefusal, liveRun, type LiveRun, type LiveSource } from "./liveRun.ts";
import { asItIs, type EditKey, editsOf, type LiveState, withEdit, withStorm } from "./liveState.ts";
import { originalText, saysTheSame } from "./liveState.ts";
import { pastStates } from "./pastStates.ts";
import { sectionPicture } from "./sectionPicture.ts";
import { stormLoop } from "./stormLoop.ts";
import { timeRuns } from "./timeRuns.ts";

/**
 * Brings a page to life: from the address on, whatever is pulled, typed or tapped becomes a change of the site file, which is
 * read, checked and run whole, and all that the page shows follows in the next frame. What the reader refuses is said beside
 * what was moved, and the last state that can be stays.
 */
export function wakePage({ file, recorded }: LiveSource): void {
  const source = { file: lastingData(file), recorded };
  const storms = source.file["storms"] as readonly Readonly<Record<string, unknown>>[];
  const told = stateOf(location.hash, storms.length);
  let shown = firstRun(source, storms.length);
  let wanted: LiveState = shown.state;
  let mover: HandleKey | null = null;
  let held: Held | null = null;
  let frame = 0;
  let rest: ReturnType<typeof setTimeout> | undefined;
  let refusedAt: HandleKey | null = null;
  /** [px], while the page is printed */
  let paper: number | null = null;
  document.body.classList.add("awake");
  // the page itself sees to it that nothing moves under a hand
  document.body.style.overflowAnchor = "none";

  const events = {
    moved,
    held: (key: HandleKey | null): void => {
      time.stop();
      held = key === null ? null : { key, before: shown.run, hour: hourOf(shown) };
      document.body.classList.toggle("pulled", held !== null);
      if (key !== null || !shown.isQuick) schedule(null);
      else {
        // let go of: nothing moves any more, and all is done with care
        clearTimeout(rest);
        rest = setTimeout(atRest, LET_GO_MS);
      }
    },
    tapped: (key: HandleKey): void => {
      if (key === "hour") time.toggle(shown.run, hourOf(shown));
    },
    jumped: (hour: number): void => {
      time.stop();
      lookAt(hour);
    },
  };
  const level = levelPicture(byId("level"), events);
  const section = sectionPicture(byId("section"), events);
  const isLevelSeen = inSight(byId("level"), () => schedule(null));
  const isSectionSeen = inSight(byId("section"), () => schedule(null));
  const time = timeRuns({
    frame: (hour) => {
      wanted = { ...wanted, hour };
      shown = { ...shown, state: wanted };
      level.drawHour(shown, hour);
      if (isSectionSeen()) section.drawMoment(shown, hour);
      say(byId("moment"), keptTogether(sectionAnswer(shown.run, hour * 3600)));
    },
    ended: () => {
      document.body.classList.remove("running");
      lookAt(Number(hourOf(shown).toFixed(2)));
    },
    begun: () => document.body.classList.add("running"),
  });
  const past = pastStates((address) => open(address));

  function lookAt(hour: number): void {
    wanted = { ...wanted, hour };
    schedule("hour");
  }

  /** A handle, a button or a typed text wants something changed. */
  function moved(key: HandleKey, said: string): void {
    time.stop();
    const text = typedText(key, said, shown.run.site.units);
    if (key === "hour") {
      const reading = readQuantity(text, "time");
      if ("got" in reading) {
        refuse("hour", `hour: expected ${reading.expected}, got ${reading.got}`);
        return;
      }
      const refused = hourRefusal(shown.run, reading.value / 3600, text);
      if (refused !== null) refuse("hour", refused);
      else lookAt(Number((reading.value / 3600).toFixed(3)));
      return;
    }
    if (key === "place") return;
    const original = originalText(source.file, key, wanted.storm);
    wanted = withEdit(wanted, key, original !== null && saysTheSame(original, text) ? null : text);
    schedule(key);
  }

  /** Everything that happens before the next frame is drawn once, in it. */
  function schedule(key: HandleKey | null): void {
    mover = key ?? mover;
    if (frame === 0) frame = requestAnimationFrame(update);
  }

  function update(): void {
    frame = 0;
    const isNew = wanted.edits !== shown.state.edits || wanted.storm !== shown.state.storm;
    // a picture that comes into sight, or another width, takes back nothing of what was said
    const isMoved = wanted !== shown.state;
    if (isNew) {
      const next = tryRun(wanted, isPulled());
      if (next === null) return;
      shown = next;
    } else shown = { ...shown, state: wanted };
    if (isMoved && (refusedAt !== null || byId("refusal").textContent !== "")) refuse(null, "");
    show(isNew || held?.key !== "hour" || !isStretched);
    isStretched = held?.key === "hour";
    clearTimeout(rest);
    rest = setTimeout(atRest, shown.isQuick ? PAUSE_MS : REST_MS);
  }
  // the axis is stretched once, when the hour is taken hold of
  let isStretched = false;

  function isPulled(): boolean {
    return held !== null && held.key !== "hour";
  }

  function tryRun(state: LiveState, isQuick: boolean = false): LiveRun | null {
    try {
      return liveRun(source, state, isQuick);
    } catch (error) {
      if (!(error instanceof InputError) && !(error instanceof StoppedRun)) throw error;
      wanted = shown.state;
      refuse(mover, refusalWords(error));
      return null;
    }
  }

  function refuse(key: HandleKey | null, words: string): void {
    for (const picture of [level, section]) if (refusedAt !== null) picture.refuse(refusedAt, "");
    refusedAt = key;
    // what has no handle of its own, a button or an address, is answered over the pictures
    const general = byId("refusal");
    const isOwn = key !== null && document.querySelector(`[data-key="${key}"]`) !== null;
    general.textContent = isOwn ? "" : words;
    if (isOwn) for (const picture of [level, section]) picture.refuse(key, words);
  }

  function show(all: boolean): void {
    const width = paper ?? byId("level").clientWidth;
    // a page that is being put away has no width to draw for
    if (width === 0) return;
    const { run, state } = shown;
    const hour = hourOf(shown);
    const stay = paper === null ? staysUnderHand(held !== null) : (): void => undefined;
    // while a hand pulls, a picture out of sight waits until it is let go
    if (all) {
      if (held === null || paper !== null || isLevelSeen()) level.draw(shown, { hour, held, width });
      say(byId("headline"), keptTogether(headline(run)));
      say(byId("subtitle"), rainText(run));
      const changed = changedWords(source.file, state);
      say(byId("changed-words"), changed === "" ? "Nothing is changed: all is as the file has it." : `Changed: ${changed}.`);
      say(byId("as-filed"), changed === "" ? "" : "The storms and tables that follow are as the file has it, without what is changed above.");
    } else level.drawHour(shown, hour);
    if (held === null || paper !== null || isSectionSeen()) section.draw(shown, { hour, held, width, isPaper: paper !== null });
    say(byId("moment"), keptTogether(sectionAnswer(run, hour * 3600)));
    say(byId("section-caption"), sectionCaption(run, hour * 3600));
    say(byId("why"), whyPitStands(run, hour * 3600));
    if (all) {
      // what takes longest to find waits for the hand to pause, and is faint until then
      document.body.classList.toggle("behind", shown.isQuick);
      if (!shown.isQuick) {
        say(byId("answer"), keptTogether(answerSentence(run)));
        level.drawWords(shown);
        showStorms(state.storm);
      }
    }
    stay();
  }

  function showStorms(chosen: number): void {
    document.querySelectorAll("[data-storm]").forEach((button) => {
      button.setAttribute("aria-pressed", String(Number(button.getAttribute("data-storm")) === chosen));
    });
  }

  /** What need not follow within the frame: the run with all care, the address, the words that are read aloud, and the tables below. */
  function atRest(): void {
    if (time.isRunning()) return;
    if (shown.isQuick) {
      shown = tryRun(shown.state) ?? shown;
      show(true);
    }
    if (held !== null) return;
    past.keep(addressOf(shown.state));
    byId("spoken").textContent = answerSentence(shown.run);
    byId("file").textContent = JSON.stringify(shown.file, null, 2);
    setMarkup(byId("live-answers"), liveAnswers(shown.run));
  }

  function open(address: string): void {
    time.stop();
    const { state, unknown } = stateOf(address, storms.length);
    wanted = state;
    let next = tryRun(state);
    const late = next === null || state.hour === null ? null : hourRefusal(next.run, state.hour);
    if (next !== null && late !== null) next = { ...next, state: { ...state, hour: null } };
    if (next !== null) shown = next;
    wanted = shown.state;
    show(true);
    if (next !== null) {
      refuse(null, [
        ...(late === null ? [] : [late]),
        ...(unknown.length === 0 ? [] : [`The address holds something this page does not know: ${unknown.map(visible).join(", ")}.`]),
      ].join("; "));
    }
    atRest();
  }

  document.querySelectorAll("[data-storm]").forEach((button) => {
    button.addEventListener("click", () => {
      time.stop();
      wanted = withStorm(wanted, Number(button.getAttribute("data-storm")));
      schedule(null);
    });
  });
  byId("put-back").addEventListener("click", () => {
    const { others: _, ...state } = wanted;
    wanted = { ...state, edits: {} };
    schedule(null);
  });
  byId("undo").addEventListener("click", past.undo);
  byId("redo").addEventListener("click", past.redo);
  byId("copy").addEventListener("click", () => {
    const code = addressOf(shown.state).slice(1);
    (byId("code") as HTMLInputElement).value = code;
    (byId("code") as HTMLInputElement).select();
    // where a page may not write to the clipboard the code stands there to be copied by hand
    navigator.clipboard?.writeText(code).then(() => { byId("spoken").textContent = "The code is copied."; }, () => undefined);
  });
  byId("code").addEventListener("keydown", (event) => {
    if (event.key === "Enter") open(`#${(byId("code") as HTMLInputElement).value.trim().replace(/^#/, "")}`);
  });
  for (const [name, picture] of [["level", level], ["section", section]] as const) {
    for (const kind of ["svg", "png"] as const) byId(`save-${name}-${kind}`).addEventListener("click", () => savePicture(picture.svg(shown, hourOf(shown)), kind, name));
  }
  byId("save-storm").addEventListener("click", () => {
    byId("spoken").textContent = "The moving picture is being drawn.";
    void stormLoop(shown.run, (hour, width) => section.moment(shown, hour, width)).then((gif) => {
      download(URL.createObjectURL(gif), "storm.gif");
      byId("spoken").textContent = "The moving picture is saved.";
    });
  });
  byId("download").addEventListener("click", () => {
    byId("download").setAttribute("href", `data:application/json;charset=utf-8,${encodeURIComponent(byId("file").textContent)}`);
  });
  addEventListener("resize", () => schedule(null));
  addEventListener("beforeprint", () => {
    time.stop();
    paper = PAPER;
    show(true);
  });
  addEventListener("afterprint", () => {
    paper = null;
    show(true);
  });
  if (told.unknown.length === 0 && location.hash === "") {
    show(true);
    atRest();
  } else open(location.hash);
}

/**
 * Keeps what a hand is on where it is on the screen, however many lines the words over it take: while it holds, words only grow, and the
 * page is scrolled by what they do.
 *
 * @returns  to be called when all is said and drawn
 */
function staysUnderHand(isHeld: boolean): () => void {
  const active = document.activeElement;
  const kept = active === null || active === document.body ? null : active.closest(".picture") ?? active;
  const before = kept?.getBoundingClientRect().top ?? 0;
  for (const id of WORDS) {
    const place = byId(id);
    if (!isHeld) place.style.minHeight = "";
    else if (place.style.minHeight === "") place.style.minHeight = `${place.getBoundingClientRect().height}px`;
  }
  return () => {
    const moved = kept === null ? 0 : kept.getBoundingClientRect().top - before;
    if (Math.abs(moved) >= 0.5) scrollBy({ top: moved, behavior: "instant" });
  };
}

/** Whose lines grow and shrink with what they say. */
const WORDS = ["headline", "subtitle", "moment", "answer", "why", "changed", "section-caption"] as const;

/** What a sheet of paper leaves for a picture [px]. */
const PAPER = 670;

/** The file's first storm that runs to its end. */
function firstRun(source: LiveSource, storms: number): LiveRun {
  for (let storm = 0; ; storm++) {
    try {
      return liveRun(source, { ...asItIs, storm });
    } catch (error) {
      if (!(error instanceof StoppedRun) || storm + 1 === storms) throw error;
    }
  }
}

/** A pull rests when nothing has moved for so long [ms]. */
const REST_MS = 250;
const PAUSE_MS = 300;
const LET_GO_MS = 40;

/** The hour that is looked at: when the pit stands highest, where none was chosen. */
function hourOf({ run, state: { hour } }: LiveRun): number {
  return Math.min(run.until / 3600, hour ?? run.peaks["chamberBank"]!.time / 3600);
}

function refusalWords(error: InputError | StoppedRun): string {
  if (error instanceof InputError) return error.problems.map(({ where, expected, got }) => `${where}: expected ${expected}, got ${got}`).join("; ");
  return `${capital(error.message)}.`;
}

/** Markup of our own templates, in which every name is escaped. */
function setMarkup(place: HTMLElement, { markup }: { readonly markup: string }): void {
  place.innerHTML = markup;
}

/** What is changed from the file, in words, with what the file says; "" where nothing is. */
export function changedWords(file: FileData, state: LiveState): string {
  return editsOf(state).map(([key, text]) => {
    const was = originalText(file, key, state.storm);
    return `${changeName(key)} ${spoken(key, text)}${was === null ? "" : ` (the file says ${spoken(key, was)})`}`;
  }).join(", ");
}

/** What a change is a change of, in a word or two. */
function changeName(key: EditKey): string {
  if (key.startsWith("soil")) return `soil layer ${key.slice(4)}`;
  return { rain: "rain", duration: "duration of the rain", groundwater: "groundwater", trench: "trench", chambers: "chambers", lid: "lid" }[key as "rain"];
}

function spoken(key: EditKey, text: string): string {
  if (key === "lid") return text === "shut" ? "stuck shut" : "free";
  return key === "groundwater" && text === "none" ? "far below" : text;
}

/** Whether a place of the page is on the screen, as far as the browser has reported. */
type InSight = () => boolean;

/**
 * Watches whether a place is on the screen: while a hand pulls, what is out of sight need not be drawn.
 *
 * @param came  it has come into sight
 */
function inSight(place: Element, came: () => void): InSight {
  let isSeen = true;
  new IntersectionObserver((entries) => {
    const was = isSeen;
    isSeen = entries.at(-1)!.isIntersecting;
    if (isSeen && !was) came();
  }).observe(place);
  return () => isSeen;
}

/**
 * What a person typed, in the words of a site file: the page's own words for no groundwater are taken, and a bare number is in the
 * unit that the page shows there.
 *
 * @example typedText("groundwater", "far below", "us"); // => "none"
 * @example typedText("rain", "2.5", "us"); // => "2.5 in"
 */
export function typedText(key: HandleKey, text: string, units: UnitSystem): string {
  const said = text.trim();
  if (key === "groundwater" && /^(?:(?:groundwater )?far below|none|never|no)$/i.test(said)) return "none";
  if (key === "lid" || key === "chambers" || !/^[-+]?[\d.]+$/.test(said)) return said;
  return `${said} ${UNITS[key.startsWith("soil") ? "soil" : key as keyof typeof UNITS][units]}`;
}

const UNITS = Object.freeze({
  rain: { us: "in", si: "mm" }, duration: { us: "h", si: "h" }, hour: { us: "h", si: "h" }, groundwater: { us: "ft", si: "m" },
  trench: { us: "ft", si: "m" }, place: { us: "m", si: "m" }, soil: { us: "in/hr", si: "mm/h" },
});

/** Saves a drawing as it is, or as a picture of twice its size on white. */
export function savePicture(svg: string, kind: "svg" | "png", name: string): void {
  const source = URL.createObjectURL(new Blob([svg], { type: "image/svg+xml" }));
  if (kind === "svg") {
    download(source, `${name}.svg`);
    return;
  }
  const image = new Image();
  image.addEventListener("load", () => {
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [2 * image.width, 2 * image.height];
    const pen = canvas.getContext("2d")!;
    pen.fillStyle = "#fff";
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.drawImage(image, 0, 0, canvas.width, canvas.height);
    URL.revokeObjectURL(source);
    canvas.toBlob((blob) => { if (blob !== null) download(URL.createObjectURL(blob), `${name}.png`); });
  });
  image.src = source;
}

/** Hands a blob to the browser's own way of saving. */
function download(address: string, name: string): void {
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
