import type { RegionCode } from "../site/region.ts";

/** What somebody asks for in a hole from some depth on. A rule of one's own has the same form. */
export interface DigRule {
  /** the depth from which it speaks, as its source writes it; "0 ft" for every hole */
  readonly depth: string;
  /** what is asked for, in short and in our own words */
  readonly asks: string;
  readonly says: string;
  /** the country it is published in; missing for a rule of one's own */
  readonly region?: RegionCode;
  /** the document with its section, and its year or that of the copy */
  readonly source: string;
  readonly status: "read" | "from memory" | "common practice" | "given with the site";
}

const OSHA = { says: "US OSHA", region: "US", status: "read" } as const;

/**
 * Depths at which others ask for something before anybody goes into a hole, to be edited: a list for `takeOff` starts from
 * this one by `filter` and spread. A site is asked by those of its own country. None of it says that a hole is safe. Every pit
 * can fall in at any depth; local law and a competent person on site decide.
 *
 * @source  the sections named in each rule, read in copies on public pages, not in the register itself; or as it says
 * @example digRules.filter(({ depth }) => depth === "5 ft").map(({ source }) => source.slice(0, 18)); // => ["29 CFR 1926.652(a)"]
 */
export const digRules: readonly DigRule[] = Object.freeze(([
  {
    depth: "0 ft", asks: "spoil, stone and machines kept 2 ft (0.61 m) or more from the edge, or held back from it",
    source: "29 CFR 1926.651(j)(2), print of 2010", ...OSHA,
  },
  {
    depth: "4 ft", asks: "a ladder, stair or ramp in a trench, within 25 ft (7.6 m) of everybody in it",
    source: "29 CFR 1926.651(c)(2), as quoted on a public page in 2026", ...OSHA,
  },
  {
    depth: "1.2 m", asks: "walls supported or sloped back",
    says: "British contractors", region: "GB", source: "company safety notes of 2026; the public authority names no depth that is safe (from memory)",
    status: "common practice",
  },
  {
    depth: "5 ft",
    asks: "walls shored, shielded or sloped back, save in stable rock; in less depth too, unless a competent person finds no sign of a cave-in",
    source: "29 CFR 1926.652(a)(1), as quoted on a public page in 2026", ...OSHA,
  },
] satisfies DigRule[]).map((rule) => Object.freeze(rule)));
