import { visible } from "./words.ts";

/**
 * What kind of fault it is, for a program that tells them apart:
 *
 * | code | what |
 * | --- | --- |
 * | `syntax` | a text that does not follow its form: JSON, the header of a record, a table |
 * | `missing` | nothing, where something is needed |
 * | `unknown` | a key, a name or a word that is not known there |
 * | `unit` | a quantity without a unit, or with one of another dimension |
 * | `range` | a number beyond its bounds |
 * | `conflict` | something that cannot stand beside another part of the input |
 * | `value` | anything else that cannot stand there |
 * | `file` | no file that can be read or written; `full`: its disk is full |
 * | `encoding` | a file that is not text in UTF-8 |
 * | `outside` | a file outside the folder of the site file |
 * | `held` | a file that another process writes |
 * | `rows` | a file of rows of another study or build, or whose rows were changed |
 */
export type ProblemCode =
  | "syntax" | "missing" | "unknown" | "unit" | "range" | "conflict" | "value" | "file" | "full" | "encoding" | "outside" | "held" | "rows";

/** One thing wrong with what a person gave, as it is found: where it stands, what was expected there and what was found. */
export interface Problem {
  readonly where: string;
  readonly expected: string;
  readonly got: string;
  /** where missing: `missing` where nothing was got, else `value` */
  readonly code?: ProblemCode;
}

/** The same as it is shown: nothing in its words can steer a terminal, and none is longer than a few lines. */
export interface ToldProblem extends Required<Problem> {
  /** `where` key by key, `["storms", 0, "depth"]` for `storms[0].depth`; empty where it is no place in an object */
  readonly path: readonly (string | number)[];
}

/**
 * All that is wrong with an input, in one error. `message` words every problem on a line of its own as
 * `where: expected what, got what`, the first 200 of them; `problems` holds all as data.
 */
export class InputError extends Error {
  readonly problems: readonly ToldProblem[];

  constructor(subject: string, problems: readonly Problem[]) {
    const told = problems.map(asTold);
    const more = told.length > MOST_LINES ? [`and ${told.length - MOST_LINES} more`] : [];
    super([subject, ...told.slice(0, MOST_LINES).map(problemLine), ...more].join("\n  "));
    this.name = "InputError";
    this.problems = told;
  }
}

const MOST_LINES = 200;

function asTold({ where, expected, got, code = got === "nothing" ? "missing" : "value" }: Problem): ToldProblem {
  return { where: short(where), expected: short(expected, 4 * LONGEST), got: short(got), code, path: pathOf(where) };
}

/** Longest words of one part of a problem; a list of what is expected may take more. */
const LONGEST = 300;

function short(text: string, longest: number = LONGEST): string {
  const seen = visible(text.length > longest ? text.slice(0, longest) : text);
  return text.length > longest ? `${seen}…` : seen;
}

function problemLine({ where, expected, got }: Problem): string {
  return `${where}: expected ${expected}, got ${got}`;
}

/** Keys and indices of a place as `pathTo` writes it. */
function pathOf(where: string): (string | number)[] {
  const path: (string | number)[] = [];
  const step = /(?:^|\.)([A-Za-z_$][\w$]*)|\[(\d{1,9})\]|\["((?:[^"\\]|\\.)*)"\]/y;
  while (step.lastIndex < where.length) {
    const found = step.exec(where);
    if (found === null) return [];
    path.push(found[1] ?? (found[2] !== undefined ? Number(found[2]) : JSON.parse(`"${found[3]!}"`) as string));
  }
  return path;
}
