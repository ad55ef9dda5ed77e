import { escaped } from "../text/words.ts";
/** A piece of a page that is markup already; every other text is escaped where it enters one. */
export interface Markup {
  readonly markup: string;
}

/** What a template takes: text and numbers are escaped, markup and lists of it go in as they are, null is nothing. */
export type Part = string | number | null | Markup | readonly Markup[];

/**
 * A piece of a page. What stands in the template is markup, what is filled in is text unless it is markup itself: a
 * name from a site file cannot become an element or end an attribute, as long as attributes are written in quotes.
 */
export function html(template: TemplateStringsArray, ...parts: readonly Part[]): Markup {
  let markup = template[0]!;
  parts.forEach((part, i) => {
    markup += written(part) + template[i + 1]!;
  });
  return { markup };
}

/** Markup that is not made of templates: a style sheet, a script. Never for anything that a person wrote. */
export function trusted(markup: string): Markup {
  return { markup };
}

/** Data as a script element can hold it: no text in it can end the script. */
export function scriptData(data: unknown): Markup {
  return { markup: JSON.stringify(data).replace(/[<>&\u2028\u2029]/g, (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`) };
}

function written(part: Part): string {
  if (part === null) return "";
  if (typeof part === "object") return "markup" in part ? part.markup : part.map(({ markup }) => markup).join("\n");
  return escaped(String(part));
}
