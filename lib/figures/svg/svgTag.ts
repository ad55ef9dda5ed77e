import { escaped } from "../../text/words.ts";

/** What an element of a drawing takes; null sets nothing, numbers are pixels to a tenth. */
export type Attributes = Readonly<Record<string, string | number | null>>;

/** An element of a drawing as plain data: of a page it becomes markup, of a page that is awake the elements themselves. */
export interface SvgTag {
  readonly name: string;
  readonly attributes: Attributes;
  /** a text is what it says, and never markup */
  readonly children: string | readonly SvgTag[];
}

/** A piece of a drawing. */
export function svgTag(name: string, attributes: Attributes, children: SvgTag["children"] = NONE): SvgTag {
  return { name, attributes, children };
}

const NONE: readonly SvgTag[] = Object.freeze([]);

/**
 * A piece of a drawing as markup: nothing that a person wrote is ever read as such. What only a page that is awake asks for, its
 * `data-` attributes, is left out.
 */
export function svgMarkup({ name, attributes, children }: SvgTag): string {
  let markup = `<${name}`;
  for (const key in attributes) {
    const value = key.startsWith("data-") ? null : attributeText(attributes[key]);
    if (value !== null) markup += ` ${key}="${escaped(value)}"`;
  }
  if (children.length === 0) return `${markup}/>`;
  markup += ">";
  if (typeof children === "string") markup += escaped(children);
  else for (const child of children) markup += svgMarkup(child);
  return `${markup}</${name}>`;
}

/** What an attribute says; null where it is not set. */
export function attributeText(value: string | number | null | undefined): string | null {
  return typeof value === "number" ? String(tenth(value)) : value ?? null;
}

/** [px], to a tenth: finer than any screen shows. */
export function tenth(pixel: number): number {
  return Math.round(pixel * 10) / 10;
}
