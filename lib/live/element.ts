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
