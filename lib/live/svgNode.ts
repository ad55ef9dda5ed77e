/**
 * A piece of a drawing. Text goes in as text: nothing that a person wrote is ever read as markup.
 *
 * @param attributes  of a value null none is set
 */
export function svgNode(
  name: string, attributes: Readonly<Record<string, string | number | null>>, children: readonly (Node | string)[] = [],
): SVGElement {
  const node = document.createElementNS(SVG, name);
  for (const key in attributes) {
    const value = attributes[key];
    if (value !== null && value !== undefined) node.setAttribute(key, String(value));
  }
  for (const child of children) node.append(child);
  return node;
}

const SVG = "http://www.w3.org/2000/svg";
