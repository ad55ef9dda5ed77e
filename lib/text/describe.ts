/** Longest piece of a person's text that an error repeats; the rest is cut and marked, so a message stays a line. */
const LONGEST = 60;

/**
 * What was given, in the words of the `got` side of a problem: text in quotes, numbers as they stand, the rest by kind.
 *
 * @param value  anything a file or a call may hold
 * @returns      such as `"3 fet"`, `12`, `nothing`, `an empty list`, `an object`
 * @example describe([1, 2]); // => "a list of 2"
 */
export function describe(value: unknown): string {
  if (value === undefined) return "nothing";
  if (typeof value === "string") return quoted(value);
  if (value === null || typeof value === "number" || typeof value === "boolean") return String(value);
  if (Array.isArray(value)) return value.length === 0 ? "an empty list" : `a list of ${value.length}`;
  return typeof value === "object" ? "an object" : `a ${typeof value}`;
}

function quoted(text: string): string {
  if (text.trim() === "") return text === "" ? "empty text" : "blank text";
  // JSON's escapes keep control characters and quotes of the text from breaking the line.
  return JSON.stringify(text.length > LONGEST ? `${text.slice(0, LONGEST)}…` : text);
}
