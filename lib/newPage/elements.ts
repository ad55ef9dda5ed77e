import type { Markup } from "../report/markup.ts";

/** An element of the page, which it surely has. */
export function byId(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`the page has no element ${id}`);
  return found;
}

/** Words in a place, changed only where they differ, so that nothing is read out twice. */
export function say(id: string, words: string): void {
  const place = byId(id);
  if (place.textContent !== words) place.textContent = words;
}

/** Markup of our own templates, in which every text is escaped. */
export function put(id: string, picture: Markup | null): void {
  byId(id).innerHTML = picture?.markup ?? "";
}

/** A new element with a text. */
export function made(name: string, text: string, className = ""): HTMLElement {
  const element = document.createElement(name);
  element.textContent = text;
  if (className !== "") element.className = className;
  return element;
}

/** `chamberBank` as `chamber bank`. */
export function spaced(key: string): string {
  return key
    .replace(/\[(\d+)\]/g, (_, index: string) => ` ${Number(index) + 1}`)
    .replaceAll(".", ", ")
    .replace(/([a-z])([A-Z])/g, (_, a: string, b: string) => `${a} ${b.toLowerCase()}`)
    .trim()
    .replace(/^, /, "");
}
