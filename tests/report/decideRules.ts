// What a sentence of a page says, as words with figures, beside what each figure is computed to be.
import type { Line, Page } from "./decidePages.ts";
import { DAY, HOUR } from "./decidePages.ts";

const UNITS: Readonly<Record<string, number>> = {
  "": 1, m: 1, mm: 1e-3, "m²": 1, "m³": 1, L: 1e-3, "L/s": 1e-3, "mm/h": 1e-3 / HOUR, s: 1, min: 60, h: HOUR, days: DAY, "%": 0.01,
  ft: 0.3048, in: 0.0254, gal: 0.003785411784, "gal/min": 0.003785411784 / 60, "in/h": 0.0254 / HOUR, "sq ft": 0.09290304,
  "cu yd": 0.764554857984, "sq yd": 0.83612736, years: 1, year: 1,
};

/** A figure with its unit, as a tape or a table shows it. */
export const FIG: string = String.raw`(-?[\d.]+(?: \d/\d)?(?: (?:m³|m²|mm/h|mm|m|L/s|L|sq ft|sq yd|cu yd|gal/min|gal|in/h|in|ft(?: \d+(?: \d/\d)? in)?|h|min|days|s|%))?)`;

/** Words with a figure for each `#`, and what else a regular expression says. */
export function says(words: string): RegExp {
  return new RegExp(`^${words.replaceAll("#", FIG)}$`);
}

/** Whether a figure of the page is a value [SI], as closely as its last digit. */
export function shows(asTold: string, value: number): string | null {
  const told = asTold.replace(/^hour (.+)$/, "$1 h");
  const tape = /^(?:(\d+) ft)?(?: ?(\d+)?(?: ?1\/2)? in)?$/.exec(told);
  if (tape !== null && (/ ft \d/.test(told) || told.includes("/"))) {
    const inches = 12 * Number(tape[1] ?? 0) + Number(tape[2] ?? 0) + (told.includes("1/2") ? 0.5 : 0);
    return Math.abs(0.0254 * inches - value) <= 0.501 * 0.0127 ? null : `${told}: computed ${value}`;
  }
  const [, figure, unit] = /^(-?[\d.]+) ?(\D*)$/.exec(told) ?? [];
  if (figure === undefined || UNITS[unit!] === undefined) return `${told}: expected a figure, computed ${value}`;
  // feet alone stand to three figures, or to half an inch
  if (unit === "ft" && !figure.includes(".") && Number(figure) < 100) return Math.abs(Number(figure) - value / 0.3048) <= 0.0501 ? null : `${told}: computed ${value / 0.3048}`;
  // heights of water stand to the centimetre from 100 mm on
  if (unit === "mm" && Number(figure) >= 100 && /^\d+0$/.test(figure)) return Math.abs(Number(figure) - 1000 * value) <= 5.01 ? null : `${told}: computed ${1000 * value}`;
  const step = figure.includes(".") ? 10 ** -figure.split(".")[1]!.length : figure.length > 3 ? 10 ** (figure.length - 3) : 1;
  const off = Math.abs(Number(figure) - value / UNITS[unit!]!);
  return off <= 0.501 * step ? null : `${told}: computed ${value / UNITS[unit!]!}`;
}

export type Told = readonly [told: string | undefined, own: number | string | boolean];

export interface Rule {
  readonly section?: RegExp;
  readonly head?: RegExp;
  readonly words: RegExp;
  /** each figure of the words beside what was computed: a number [SI], words, or whether it holds */
  readonly figures: (found: readonly string[], page: Page, line: Line) => readonly Told[];
}

function wrongs(rule: Rule, page: Page, line: Line): string[] {
  return rule.figures(rule.words.exec(line.text)!, page, line).flatMap(([told, value]) => {
    if (typeof value === "boolean") return value ? [] : [`${told}: does not hold`];
    if (typeof value === "string") return told === value ? [] : [`${told}: computed ${value}`];
    const wrong = shows(told!, value);
    return wrong === null ? [] : [wrong];
  });
}

/** Lines that no rule knows, or that several know, and figures that are not what they are computed to be. */
export function unlike(page: Page, told: readonly Line[], rules: readonly Rule[]): string[] {
  const known = (line: Line): Rule[] => rules.filter(({ section, head, words }) => (
    (section?.test(line.section) ?? true) && (head?.test(line.head) ?? line.head === "") && words.test(line.text)));
  return told.flatMap((line) => {
    const [rule, ...others] = known(line);
    return rule === undefined || others.length > 0 ? [`${known(line).length} [${line.section}; ${line.head}; ${line.group}] ${line.text}`]
      : wrongs(rule, page, line).map((wrong) => `${line.text}: ${wrong}`);
  });
}
