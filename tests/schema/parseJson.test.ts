import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { parseJson } from "../../lib/schema/parseJson.ts";
import type { Problem } from "../../lib/text/problem.ts";
import { shareOf } from "../share.ts";

function problemsOf(text: string): string[] {
  const problems: Problem[] = [];
  parseJson(text, problems);
  return problems.map(({ where, expected, got }) => `${where}: expected ${expected}, got ${got}`);
}

const value = 'JSON: a value such as "2.5 ft", 0.4, true, { … } or [ … ]';

describe("a text that is no JSON", () => {
  test.each([
    ["", `line 1, column 1: expected ${value}, got the end of the text`],
    ["{", 'line 1, column 2: expected JSON: a key in double quotes or "}", got the end of the text'],
    ['{\n  "a": 1,\n}', 'line 3, column 1: expected JSON: a key in double quotes after the comma, got "}"'],
    ['{\n  "a": 1\n  "b": 2\n}', 'line 3, column 3: expected JSON: "," or "}", got "\\""'],
    ['{ "a" 1 }', 'line 1, column 7: expected JSON: ":" after the key, got "1"'],
    ['{ "a": 3 ft }', 'line 1, column 10: expected JSON: "," or "}", got "ft"'],
    ["[1 2]", 'line 1, column 4: expected JSON: "," or "]", got "2"'],
    ["[1,]", `line 1, column 4: expected ${value}, got "]"`],
    ["{ a: 1 }", 'line 1, column 3: expected JSON: a key in double quotes or "}", got "a"'],
    ["{ 'a': 1 }", 'line 1, column 3: expected JSON: a key in double quotes or "}", got "\'"'],
    ['{ "a": NaN }', `line 1, column 8: expected ${value}, got "NaN"`],
    ['{ "a": .5 }', `line 1, column 8: expected ${value}, got ".5"`],
    ['{ "a": "x\ny" }', `line 1, column 8: expected ${value}, got "\\""`],
    ["{} {}", 'line 1, column 4: expected JSON: nothing after the last closing bracket, got "{"'],
    ["orchard.json", `line 1, column 1: expected ${value}, got "orchard.json"`],
  ])("%j says where and why", (text, problem) => {
    expect(problemsOf(text)).toEqual([problem]);
  });

  test("or holds one key twice says so for each", () => {
    expect(problemsOf('{ "a": 1,\n  "b": { "a": 1, "a": 2 },\n  "a": 3 }')).toEqual([
      'line 2, column 18: expected each key once in its object, got "a" again',
      'line 3, column 3: expected each key once in its object, got "a" again',
    ]);
  });

  test("of nothing but brackets does not exhaust the stack", () => {
    expect(problemsOf("[".repeat(200_000))).toEqual([`line 1, column 200001: expected ${value}, got the end of the text`]);
    expect(problemsOf('{"a":'.repeat(100_000))).toEqual([`line 1, column 500001: expected ${value}, got the end of the text`]);
  });

  test("is told from JSON just as JSON.parse does, and read as it reads", () => {
    const json = fc.json({ maxDepth: 4 });
    const piece = fc.constantFrom("{", "}", "[", "]", ":", ",", '"', '"a"', "1", "-0", "1.5e3", "01", "true", "nul", "\\", " ", "\n", "\u0007", "é");
    const broken = fc.tuple(json, fc.nat(), fc.nat({ max: 3 }), piece).map(([text, at, count, added]) => {
      const from = at % (text.length + 1);
      return text.slice(0, from) + added + text.slice(from + count);
    });
    fc.assert(fc.property(fc.oneof(json, broken, fc.array(piece).map((pieces) => pieces.join(""))), (text) => {
      const problems: Problem[] = [];
      const read = parseJson(text, problems);
      const syntax = problems.filter(({ got }) => !got.endsWith(" again"));
      expect(syntax.length === 0, text).toBe(isJson(text));
      if (problems.length === 0) expect(read).toEqual(JSON.parse(text));
    }), { numRuns: shareOf(10_000) });
  });
});

function isJson(text: string): boolean {
  try {
    JSON.parse(text);
    return true;
  } catch {
    return false;
  }
}
