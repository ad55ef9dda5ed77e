import { describe } from "../text/describe.ts";
import type { Problem } from "../text/problem.ts";

/**
 * The value of a JSON text. What is wrong with the text goes into `problems`, by line and column; a key that stands twice
 * in one object is wrong too, because all but the last would be lost without a word.
 *
 * @param text  of a file; a byte order mark at its start is passed over
 */
export function parseJson(text: string, problems: Problem[]): unknown {
  // Some editors put the mark there; it is no part of the text.
  const marked = text.startsWith("\uFEFF") ? text.slice(1) : text;
  const before = problems.length;
  scan(marked, problems);
  return problems.length > before ? undefined : (JSON.parse(marked) as unknown);
}

/** An object (with the keys met so far) or a list that has been opened and not closed. */
type Open = Set<string> | "list";

type Wanted = "value" | "value or ]" | "key" | "key or }" | "colon" | "comma or close";

/** Goes over the text once by the grammar of RFC 8259. It keeps its own stack: a file may be nothing but brackets. */
function scan(text: string, problems: Problem[]): void {
  const open: Open[] = [];
  let wanted: Wanted = "value";
  let at = 0;
  const token = (pattern: RegExp): string | null => {
    pattern.lastIndex = at;
    const found = pattern.exec(text);
    if (found === null) return null;
    at += found[0].length;
    return found[0];
  };
  const fail = (expected: string): void => {
    problems.push({ where: placeOf(at), expected, got: foundAt(text, at), code: "syntax" });
  };
  const placeOf = places(text);
  const checkTwice = (key: string, object: Open, start: number): void => {
    if (object === "list") return;
    if (object.has(key)) problems.push({ where: placeOf(start), expected: "each key once in its object", got: `${describe(JSON.parse(key))} again`, code: "syntax" });
    object.add(key);
  };
  for (;;) {
    token(SPACE);
    if (wanted === "value" || wanted === "value or ]") {
      if (wanted === "value or ]" && token(CLOSE_LIST) !== null) {
        open.pop();
        wanted = "comma or close";
      } else if (token(OPEN_OBJECT) !== null) {
        open.push(new Set());
        wanted = "key or }";
      } else if (token(OPEN_LIST) !== null) {
        open.push("list");
        wanted = "value or ]";
      } else if (token(TEXT) !== null || token(NUMBER) !== null || token(LITERAL) !== null) {
        wanted = "comma or close";
      } else return fail('JSON: a value such as "2.5 ft", 0.4, true, { … } or [ … ]');
    } else if (wanted === "key" || wanted === "key or }") {
      const start = at;
      const key = token(TEXT);
      if (key !== null) {
        checkTwice(key, open.at(-1)!, start);
        wanted = "colon";
      } else if (wanted === "key or }" && token(CLOSE_OBJECT) !== null) {
        open.pop();
        wanted = "comma or close";
      } else return fail(`JSON: a key in double quotes${wanted === "key" ? " after the comma" : ' or "}"'}`);
    } else if (wanted === "colon") {
      if (token(COLON) === null) return fail('JSON: ":" after the key');
      wanted = "value";
    } else {
      const innermost = open.at(-1);
      if (innermost === undefined) return at < text.length ? fail("JSON: nothing after the last closing bracket") : undefined;
      if (token(COMMA) !== null) wanted = innermost === "list" ? "value" : "key";
      else if (token(innermost === "list" ? CLOSE_LIST : CLOSE_OBJECT) !== null) open.pop();
      else return fail(`JSON: "," or "${innermost === "list" ? "]" : "}"}"`);
    }
  }
}

const SPACE = /[ \t\n\r]*/y;
// Plain runs and escapes in turn, so that a text without its closing quote can be matched in one way only.
const TEXT = /"[^"\\\u0000-\u001f]*(?:\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4})[^"\\\u0000-\u001f]*)*"/y;
const NUMBER = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][-+]?\d+)?/y;
const LITERAL = /true|false|null/y;
const OPEN_OBJECT = /\{/y;
const CLOSE_OBJECT = /\}/y;
const OPEN_LIST = /\[/y;
const CLOSE_LIST = /\]/y;
const COLON = /:/y;
const COMMA = /,/y;

/** Tells line and column of places that come in order, going over the text once for all of them. */
function places(text: string): (at: number) => string {
  const end = /\r\n|\r|\n/g;
  const nextStart = (): number => {
    const found = end.exec(text);
    return found === null ? Infinity : found.index + found[0].length;
  };
  let [line, start, next] = [1, 0, nextStart()];
  return (at) => {
    while (next <= at) [line, start, next] = [line + 1, next, nextStart()];
    return `line ${line}, column ${at - start + 1}`;
  };
}

function foundAt(text: string, at: number): string {
  if (at >= text.length) return "the end of the text";
  const word = /^[\w.+-]{1,20}/.exec(text.slice(at, at + 20));
  return JSON.stringify(word === null ? String.fromCodePoint(text.codePointAt(at)!) : word[0]);
}
