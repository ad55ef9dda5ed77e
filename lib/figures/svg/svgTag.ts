import { escaped } from "../../text/words.ts";

/** What an element of a drawing takes; null sets nothing, numbers are pixels to a tenth. */
export type Attributes = Readonly<Record<string, string | number | null>>;

/**
 * A piece of a drawing as markup. Attributes are escaped; children are markup already, so a text goes through `svgWords`.
 */
export function svgTag(name: string, attributes: Attributes, children: string = ""): string {
  let markup = `<${name}`;
  for (const key in attributes) {
    const value = attributes[key];
    if (value !== null && value !== undefined) markup += ` ${key}="${typeof value === "number" ? tenth(value) : escaped(value)}"`;
  }
  return children === "" ? `${markup}/>` : `${markup}>${children}</${name}>`;
}

/** A text as an element can hold it: nothing that a person wrote is ever read as markup. */
export function svgWords(text: string): string {
  return escaped(text);
}

/** [px], to a tenth: finer than any screen shows. */
export function tenth(pixel: number): number {
  return Math.round(pixel * 10) / 10;
}
