import { describe } from "./describe.ts";
import { nearest } from "./nearest.ts";
import { pathTo } from "./pathTo.ts";
import { InputError, type Problem, type ProblemCode } from "./problem.ts";
import { readQuantity, type Dimension } from "./quantity.ts";

/**
 * Reads an options object key by key and keeps what is wrong; `done` then throws all of it in one error, keys that
 * nobody asked for included. A value that is wrong reads as NaN (text as ""), so a pattern reads everything, calls
 * `done` and only then computes.
 */
export interface OptionReader {
  /** the place in words, `designStorm.rainfall` */
  readonly where: string;
  has(key: string): boolean;
  /** a text with a unit, in SI */
  quantity(key: string, dimension: Dimension, rule?: Rule): number;
  /** a plain number without a unit: a ratio, a coefficient */
  number(key: string, rule?: Rule): number;
  /** one of a few words */
  word<Word extends string>(key: string, words: readonly Word[], missing?: Word): Word;
  flag(key: string, missing: boolean): boolean;
  /** a list, each item read by `item` under the place `key[i]` */
  list<Item>(key: string, item: (value: unknown, where: string) => Item): Item[];
  /** a reader on an object option */
  child(key: string): OptionReader;
  /** readers on a list of objects */
  children(key: string): OptionReader[];
  /** what stands there, unread; for functions and typed objects that only a program can give */
  raw(key: string): unknown;
  keys(): string[];
  problem(key: string, expected: string, got?: string, code?: ProblemCode): void;
  /** reads a value that is no option of its own, an item of a list */
  check(where: string, value: unknown, dimension: Dimension, rule?: Rule): number;
  /** throws an InputError when anything was wrong so far; nothing happens otherwise */
  done(): void;
}

/** Bounds in SI; `missing` stands in for a key that is absent. */
export interface Rule {
  readonly above?: number;
  readonly least?: number;
  readonly below?: number;
  readonly most?: number;
  readonly missing?: number;
}

/**
 * @param where    how the object is called in an error, `designStorm`
 * @param given    the options as they came, from a call or from JSON
 * @param subject  first line of the error
 */
export function optionReader(where: string, given: unknown, subject: string): OptionReader {
  const problems: Problem[] = [];
  const readers: Inner[] = [];
  const done = (): void => {
    for (const reader of readers) reader.refuseUnknown();
    if (problems.length > 0) throw new InputError(subject, problems);
  };
  return readerOn(where, given, problems, readers, done);
}

interface Inner {
  refuseUnknown(): void;
}

function readerOn(where: string, given: unknown, problems: Problem[], readers: Inner[], done: () => void): OptionReader {
  const isObject = typeof given === "object" && given !== null && !Array.isArray(given);
  if (!isObject) problems.push({ where, expected: "an object of options", got: describe(given) });
  const values = (isObject ? given : {}) as Readonly<Record<string, unknown>>;
  const asked = new Set<string>();

  const has = (key: string): boolean => {
    asked.add(key);
    return Object.hasOwn(values, key) && values[key] !== undefined;
  };
  const raw = (key: string): unknown => (has(key) ? values[key] : undefined);
  const problem = (key: string, expected: string, got = describe(raw(key)), code?: ProblemCode): void => {
    // What is not an object of options has been refused already, and each key of it would only say so again.
    if (isObject) problems.push({ where: `${where}.${key}`, expected, got, ...(code && { code }) });
  };
  const bounded = (at: string, value: number, rule: Rule, unit: string, words: string, got: string): number => {
    const { above = -Infinity, least = -Infinity, below = Infinity, most = Infinity } = rule;
    if (value > above && value >= least && value < below && value <= most) return value;
    problems.push({ where: at, expected: `${words}${boundWords(rule, unit)}`, got, code: "range" });
    return NaN;
  };
  const check = (at: string, value: unknown, dimension: Dimension, rule: Rule = {}): number => {
    const reading = readQuantity(value, dimension);
    if ("value" in reading) return bounded(at, reading.value, rule, SI_UNIT[dimension], `${dimension === "area" ? "an" : "a"} ${dimension}`, describe(value));
    problems.push({ where: at, ...reading });
    return NaN;
  };

  const reader: OptionReader & Inner = {
    where,
    has,
    raw,
    problem,
    check,
    done,
    keys: () => Object.keys(values),
    quantity(key, dimension, rule = {}) {
      if (!has(key) && (rule.missing !== undefined || !isObject)) return rule.missing ?? NaN;
      return check(`${where}.${key}`, raw(key), dimension, rule);
    },
    number(key, rule = {}) {
      if (!has(key) && (rule.missing !== undefined || !isObject)) return rule.missing ?? NaN;
      const value = raw(key);
      if (typeof value === "number" && Number.isFinite(value)) {
        return bounded(`${where}.${key}`, value, rule, "", "a number", describe(value));
      }
      problem(key, `a number without a unit${boundWords(rule, "")}`);
      return NaN;
    },
    word(key, words, missing) {
      if (!has(key) && missing !== undefined) return missing;
      const value = raw(key);
      const found = words.find((word) => word === value);
      if (found !== undefined) return found;
      const meant = typeof value === "string" ? nearest(value, words) : null;
      const hint = meant === null ? "" : ` (did you mean "${meant}"?)`;
      problem(key, `one of ${words.map((word) => `"${word}"`).join(", ")}`, `${describe(value)}${hint}`, typeof value === "string" ? "unknown" : undefined);
      return "" as (typeof words)[number];
    },
    flag(key, missing) {
      if (!has(key)) return missing;
      const value = raw(key);
      if (typeof value !== "boolean") problem(key, "true or false");
      return value === true;
    },
    list(key, item) {
      const value = raw(key);
      if (!Array.isArray(value) || value.length === 0) {
        problem(key, "a list of one or more");
        return [];
      }
      return value.map((entry: unknown, i) => item(entry, `${where}.${key}[${i}]`));
    },
    child: (key) => readerOn(`${where}.${key}`, raw(key), problems, readers, done),
    children: (key) => reader.list(key, (entry, at) => readerOn(at, entry, problems, readers, done)),
    refuseUnknown() {
      for (const key of Object.keys(values)) {
        if (asked.has(key)) continue;
        const known = [...asked];
        const meant = nearest(key, known);
        const expected = meant === null ? `no such key (known here: ${known.join(", ")})` : `no such key (did you mean "${meant}"?)`;
        problems.push({ where: pathTo(where, key), expected, got: describe(values[key]), code: "unknown" });
      }
    },
  };
  readers.push(reader);
  return reader;
}

function boundWords({ above, least, below, most }: Rule, unit: string): string {
  const lower = above !== undefined ? ` above ${above}${unit}` : least !== undefined ? ` of ${least}${unit} or more` : "";
  const upper = below !== undefined ? ` below ${below}${unit}` : most !== undefined ? ` of ${most}${unit} or less` : "";
  return lower !== "" && upper !== "" ? `${lower} and${upper}` : `${lower}${upper}`;
}

const SI_UNIT: Readonly<Record<Dimension, string>> = {
  length: " m",
  area: " m2",
  volume: " m3",
  flow: " m3/s",
  speed: " m/s",
  time: " s",
  temperature: " degC",
  density: " kg/m3",
  areaPerLength: " m2/m",
};
