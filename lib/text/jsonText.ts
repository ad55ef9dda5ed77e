/** One change to a JSON text: the value at a path, or the key with its value taken away (`undefined`). */
export interface JsonChange {
  /** keys and places in lists, from the top: `["chamberBank", "chambers", 0, "count"]` */
  readonly path: readonly (string | number)[];
  readonly value: unknown;
}

/**
 * A JSON text with some of its values in place of those that stand there. All else stays byte for byte: order, spaces, spellings, and what
 * other keys say. A key that is missing is added behind the last one of its object, in the way that object is set.
 *
 * @param text  that JSON.parse takes; a byte order mark at its start stays
 * @throws RangeError  for a path whose parent is not there
 * @example jsonWith('{ "a": "1 ft",  "b": [2, 3] }', [{ path: ["b", 1], value: 4 }]); // => '{ "a": "1 ft",  "b": [2, 4] }'
 */
export function jsonWith(text: string, changes: readonly JsonChange[]): string {
  // one after the other, each on the text that the one before has left
  return changes.reduce((now, change) => changedText(now, change), text);
}

interface Node {
  readonly start: number;
  readonly end: number;
  readonly entries: readonly Entry[] | null;
  readonly isList: boolean;
}

/** A key with its value, or an item of a list: `start` is that of the key. */
interface Entry {
  readonly key: string | number;
  readonly start: number;
  readonly node: Node;
}

function changedText(text: string, { path, value }: JsonChange): string {
  const trail = path.slice(0, -1);
  const last = path.at(-1)!;
  let parent = nodeAt(text, text.startsWith("\uFEFF") ? 1 : 0);
  for (const key of trail) {
    const next = parent.entries?.find((entry) => entry.key === key);
    if (next === undefined) throw new RangeError(`jsonWith: expected something at ${trail.join(".")}, got nothing`);
    parent = next.node;
  }
  const entries = parent.entries ?? [];
  const at = entries.findIndex(({ key }) => key === last);
  if (value === undefined) return at < 0 ? text : without(text, entries, at);
  const written = writtenJson(value);
  if (at >= 0) {
    const { node } = entries[at]!;
    return text.slice(0, node.start) + written + text.slice(node.end);
  }
  const added = parent.isList ? written : `${JSON.stringify(last)}: ${written}`;
  if (entries.length === 0) return `${text.slice(0, parent.start + 1)} ${added} ${text.slice(parent.end - 1)}`;
  const { start, node } = entries.at(-1)!;
  const before = text.slice(entries.length > 1 ? entries.at(-2)!.node.end : parent.start + 1, start);
  const space = /\s*$/.exec(before)![0];
  return `${text.slice(0, node.end)},${space === "" ? " " : space}${added}${text.slice(node.end)}`;
}

function without(text: string, entries: readonly Entry[], at: number): string {
  const [from, to] = at > 0 ? [entries[at - 1]!.node.end, entries[at]!.node.end]
    : entries.length > 1 ? [entries[0]!.start, entries[1]!.start] : [entries[0]!.start, entries[0]!.node.end];
  return text.slice(0, from) + text.slice(to);
}

/** On one line, with a space where a person puts one. */
function writtenJson(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(writtenJson).join(", ")}]`;
  if (typeof value !== "object" || value === null) return JSON.stringify(value);
  return `{ ${Object.entries(value).map(([key, each]) => `${JSON.stringify(key)}: ${writtenJson(each)}`).join(", ")} }`;
}

const STRING = /"(?:[^"\\]|\\.)*"/y;
const PLAIN = /[^\s,\]}]+/y;

function nodeAt(text: string, from: number): Node {
  const start = skipped(text, from);
  const sign = text[start];
  if (sign !== "{" && sign !== "[") {
    const end = tokenEnd(text, start, sign === '"' ? STRING : PLAIN);
    return { start, end, entries: null, isList: false };
  }
  const isList = sign === "[";
  const entries: Entry[] = [];
  let at = skipped(text, start + 1);
  while (text[at] !== "}" && text[at] !== "]") {
    const entryStart = at;
    let key: string | number = entries.length;
    if (!isList) {
      const end = tokenEnd(text, at, STRING);
      key = JSON.parse(text.slice(at, end)) as string;
      at = skipped(text, end) + 1;
    }
    const node = nodeAt(text, at);
    entries.push({ key, start: entryStart, node });
    at = skipped(text, node.end);
    if (text[at] === ",") at = skipped(text, at + 1);
  }
  return { start, end: at + 1, entries, isList };
}

function skipped(text: string, from: number): number {
  let at = from;
  while (/\s/.test(text[at] ?? "")) at++;
  return at;
}

function tokenEnd(text: string, at: number, pattern: RegExp): number {
  pattern.lastIndex = at;
  return at + pattern.exec(text)![0].length;
}
