import { attributeText, type SvgTag } from "../figures/svg/svgTag.ts";
import { element } from "./element.ts";

/** A place of the page that holds a drawing, which is drawn again and again. */
export interface DrawnPlace {
  readonly root: HTMLElement;
  readonly draw: (drawing: SvgTag) => void;
}

/**
 * A place for a drawing of which only what changes is touched: a browser lays out and paints again no more than that, and a pull of
 * a hand has no time for more.
 */
export function drawnPlace(): DrawnPlace {
  const root = element("div", { class: "drawing" });
  let shown: SvgTag | null = null;
  return {
    root,
    draw: (drawing) => {
      const first = root.firstElementChild;
      if (shown === null || first === null) root.replaceChildren(made(drawing));
      else change(first, shown, drawing);
      shown = drawing;
    },
  };
}

const SVG = "http://www.w3.org/2000/svg";

function made({ name, attributes, children }: SvgTag): Element {
  const node = document.createElementNS(SVG, name);
  for (const key in attributes) {
    const text = attributeText(attributes[key]);
    // the name of the language is no attribute that a script may set
    if (text !== null && key !== "xmlns") node.setAttribute(key, text);
  }
  if (typeof children === "string") node.textContent = children;
  else node.append(...children.map(made));
  return node;
}

/** Makes an element that was drawn as `was` into `now`. */
function change(node: Element, was: SvgTag, now: SvgTag): void {
  if (was === now) return;
  if (was.name !== now.name || typeof was.children !== typeof now.children) {
    node.replaceWith(made(now));
    return;
  }
  for (const key in now.attributes) {
    const value = now.attributes[key];
    if (value === was.attributes[key]) continue;
    const text = attributeText(value);
    if (text === attributeText(was.attributes[key])) continue;
    if (text === null) node.removeAttribute(key);
    else node.setAttribute(key, text);
  }
  for (const key in was.attributes) if (!(key in now.attributes)) node.removeAttribute(key);
  if (typeof now.children === "string") {
    if (now.children !== was.children) node.textContent = now.children;
    return;
  }
  const before = was.children as readonly SvgTag[];
  let child = node.firstElementChild;
  now.children.forEach((next, i) => {
    const old = before[i];
    const following = child?.nextElementSibling ?? null;
    if (child === null || old === undefined) node.append(made(next));
    else change(child, old, next);
    child = following;
  });
  while (child !== null) {
    const following: Element | null = child.nextElementSibling;
    child.remove();
    child = following;
  }
}
