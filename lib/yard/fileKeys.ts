import { InputError, type Problem } from "../text/problem.ts";
import { describe } from "../text/describe.ts";
import { type Answers, isAnswerKey } from "./questions.ts";
import type { SiteJson } from "./yardFile.ts";

/** One value of a site file, at its place. */
export interface FileKey {
  /** `chamberBank.stone.depth`, `storms[1].depth` */
  readonly path: string;
  readonly value: string | number | boolean;
}

/** Values of a file that were changed by hand, by their places. */
export type Changes = Readonly<Record<string, string | number | boolean>>;

/** Every value of the works and the storms of a file, in the file's order; the lot itself is asked about elsewhere. */
export function fileKeys(file: SiteJson): FileKey[] {
  return Object.entries(file).filter(([key]) => !["$schema", "survey"].includes(key)).flatMap(([key, value]) => leaves(value, key));
}

function leaves(value: unknown, path: string): FileKey[] {
  if (Array.isArray(value)) return value.flatMap((each, i) => leaves(each, `${path}[${i}]`));
  if (typeof value === "object" && value !== null) return Object.entries(value).flatMap(([key, inner]) => leaves(inner, `${path}.${key}`));
  return typeof value === "string" || typeof value === "number" || typeof value === "boolean" ? [{ path, value }] : [];
}

/**
 * The file with values put in place of its own.
 *
 * @throws RangeError  for a place that the file does not have
 */
export function withChanges(file: SiteJson, changes: Changes): SiteJson {
  return Object.entries(changes).reduce((all, [path, value]) => put(all, stepsOf(path), value, path) as SiteJson, file);
}

/** What of one file's values differs from another's of the same keys; null where the keys themselves differ. */
export function differences(from: SiteJson, to: SiteJson): Changes | null {
  const [a, b] = [fileKeys(from), fileKeys(to)];
  const before = new Map(a.map(({ path, value }) => [path, value]));
  if (a.length !== b.length || b.some(({ path }) => !before.has(path))) return null;
  return Object.fromEntries(b.filter(({ path, value }) => before.get(path) !== value).map(({ path, value }) => [path, value]));
}

/** The text of a file as both doors save it. */
export function fileText(file: SiteJson): string {
  return `${JSON.stringify(file, null, 2)}\n`;
}

/** A name for the file: small letters, digits and hyphens of its site's name. */
export function fileName({ name }: SiteJson): string {
  const stem = String(name).normalize("NFKD").toLowerCase().replace(/\p{M}/gu, "").replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "");
  return `${stem.slice(0, 60) || "yard"}.json`;
}

/** The text of a file of notes: the answers about a yard as they were typed, for a yard of which no site file can be made yet. */
export function notesText(answers: Answers): string {
  const typed = Object.fromEntries(Object.entries(answers).filter(([, text]) => text.trim() !== ""));
  return fileText({ about: "What was told of a yard so far. \"soakstep new\" and its page open it again. It is not a site file yet.", answers: typed });
}

/** A name for the file of notes. */
export function notesName(answers: Answers): string {
  return fileName({ name: `${answers["name"] ?? ""} notes` });
}

/**
 * What a file of notes holds; null if the file is not one.
 *
 * @throws InputError  with every answer that is not a text, or to a question that nobody asks
 */
export function notesIn(file: SiteJson): Answers | null {
  const { answers } = file;
  if (typeof answers !== "object" || answers === null) return null;
  const problems: Problem[] = [];
  const texts: Record<string, string> = {};
  for (const [key, text] of Object.entries(answers)) {
    if (!isAnswerKey(key)) problems.push({ where: `answers.${key}`, expected: "the key of a question", got: describe(key), code: "unknown" });
    else if (typeof text !== "string") problems.push({ where: `answers.${key}`, expected: "a text", got: describe(text) });
    else texts[key] = text;
  }
  if (problems.length > 0) throw new InputError("The notes cannot be opened:", problems);
  return texts;
}

function stepsOf(path: string): string[] {
  return path.split(/[.[\]]+/).filter((step) => step !== "");
}

function put(at: unknown, [step, ...rest]: readonly string[], value: unknown, path: string): unknown {
  if (step === undefined) return value;
  if (typeof at !== "object" || at === null || !Object.hasOwn(at, step)) throw new RangeError(`${path}: expected a value of the file, got no such place`);
  const inner = put((at as Readonly<Record<string, unknown>>)[step], rest, value, path);
  return Array.isArray(at) ? at.map((each: unknown, i) => (i === Number(step) ? inner : each)) : { ...at, [step]: inner };
}
