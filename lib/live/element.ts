/** An element of the page with its attributes; text goes in as text. */
export function element<Name extends keyof HTMLElementTagNameMap>(
  name: Name, attributes: Readonly<Record<string, string>>, ...children: readonly (Node | string)[]
): HTMLElementTagNameMap[Name] {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...children);
  return made;
}

/** An element that the page was made with. */
export function byId(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`the page has no element ${id}`);
  return found;
}

/** Says something, and touches nothing where it says so already. */
export function say(place: Element, words: string): void {
  if (place.textContent !== words) place.textContent = words;
}

/** Puts an element of a picture at a point of it [px], which lays nothing out again. */
export function placeAt(place: HTMLElement, x: number, y: number): void {
  const at = `${Math.round(x * 10) / 10}px ${Math.round(y * 10) / 10}px`;
  if (place.style.translate !== at) place.style.translate = at;
}
