import { describe } from "../text/describe.ts";
import type { UnitSystem } from "../text/format.ts";
import type { Field } from "../schema/field.ts";
import type { Site } from "./site.ts";

/** A country's code of two letters, as ISO 3166-1 gives it. */
export type RegionCode = string;

/** Whose published rules a site is asked by, and why those. */
export interface RegionTaken {
  readonly code: RegionCode;
  /** `United States` */
  readonly name: string;
  /** whether the file names it; otherwise its units decide */
  readonly given: boolean;
  /** the same in a sentence */
  readonly words: string;
}

/** The country a site lies in, as its code. */
export function regionField(about: string): Field<RegionCode> {
  return {
    about,
    hole: "",
    schema: { description: `${about}; a code of two capital letters (ISO 3166-1)`, type: "string", pattern: "^[A-Z]{2}$" },
    read: (value, where, findings) => {
      if (typeof value === "string" && /^[A-Z]{2}$/.test(value) && regionName(value) !== null) {
        const current = currentCode(value);
        if (current === value) return value;
        findings.problems.push({ where, expected: `a country's code of today (did you mean "${current}"?)`, got: describe(value) });
      } else {
        findings.problems.push({ where, expected: 'a country\'s code of two capital letters such as "US" or "GB" (ISO 3166-1)', got: describe(value) });
      }
      return "";
    },
  };
}

/** What tells where a site lies: its region, and the system its file is written in, which another it is shown in does not change. */
export interface Located {
  readonly region: RegionCode | null;
  readonly units: UnitSystem;
  readonly writtenIn?: UnitSystem;
}

/** The file's own region, else the one whose documents measure as the file does: feet the United States, metres the United Kingdom. */
export function regionTaken({ region, units, writtenIn = units }: Located): RegionTaken {
  const code = region ?? BY_UNITS[writtenIn];
  const name = regionName(code) ?? code;
  const the = /^United /.test(name) ? `the ${name}` : name;
  return {
    code, name, given: region !== null,
    words: region !== null ? `The file puts the site in ${the}: published rules of that country are asked.`
      : `The file names no region; as it is written in ${writtenIn === "us" ? "feet" : "metres"}, published rules of ${the} are asked. Another country is put into the file as "region".`,
  };
}

/** The countries whose published rules a site asks for: those that its `publishedRules` name, else its own. */
export function regionsNamed(site: Located & Pick<Site, "surroundings">): readonly RegionCode[] {
  const published = site.surroundings?.publishedRules ?? true;
  return typeof published === "boolean" ? [regionTaken(site).code] : published;
}

/**
 * Whose published rules are asked, and why; what is held of none is said.
 *
 * @param of       what they speak of, as in "published rules on digging": ` on digging`, or ""
 * @param isAsked  whether somebody asks for just these countries, be it the site's own
 */
export function askedWords(
  site: Located, regions: readonly RegionCode[], rules: readonly { readonly region?: RegionCode }[], of: string, isAsked: boolean,
): string {
  const own = regionTaken(site);
  const named = (codes: readonly RegionCode[]): string => codes.map((code) => regionName(code) ?? code).join(", ");
  const lacking = regions.filter((code) => !rules.some(({ region }) => region === code));
  const asked = regions.length === 0 ? "Published rules are set aside."
    : !isAsked && regions.length === 1 && regions[0] === own.code ? own.words : `As asked for, published rules of these countries: ${named(regions)}.`;
  return lacking.length === 0 ? asked : `${asked} No published rules${of} of ${named(lacking)} are held here.`;
}

const BY_UNITS: Readonly<Record<UnitSystem, RegionCode>> = Object.freeze({ us: "US", si: "GB" });

/** The English name of a country, `Germany`; null for a code that no country has. */
export function regionName(code: RegionCode): string | null {
  return COUNTRIES.of(code) ?? null;
}

// dear to make, and asked at every site of a study
const COUNTRIES: Intl.DisplayNames = /* @__PURE__ */ new Intl.DisplayNames(["en"], { type: "region", fallback: "none" });

/** "GB" for "UK": a code that stands for another is not the country's own. */
function currentCode(code: RegionCode): RegionCode {
  return Intl.getCanonicalLocales(`und-${code}`)[0]!.slice(-2);
}
