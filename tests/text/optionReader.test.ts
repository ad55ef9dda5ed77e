import { expect, test } from "vitest";
import { optionReader, type OptionReader } from "../../lib/text/optionReader.ts";
import { InputError } from "../../lib/text/problem.ts";

/** What is said of options after they have been read in a certain way; "" where nothing is wrong. */
function said(given: unknown, read: (options: OptionReader) => unknown): string {
  const options = optionReader("pond", given, "The pond cannot be dug:");
  read(options);
  try {
    options.done();
    return "";
  } catch (error) {
    if (error instanceof InputError) return error.message.replace("The pond cannot be dug:\n  ", "");
    throw error;
  }
}

test.each<[string, unknown, (options: OptionReader) => unknown, string]>([
  ["a number that is missing", {}, (pond) => pond.number("ratio"), "pond.ratio: expected a number without a unit, got nothing"],
  ["a number within bounds that is missing", {}, (pond) => pond.number("ratio", { above: 0, most: 1 }),
    "pond.ratio: expected a number without a unit above 0 and of 1 or less, got nothing"],
  ["a number as text", { ratio: "0.5" }, (pond) => pond.number("ratio"), 'pond.ratio: expected a number without a unit, got "0.5"'],
  ["a number that is not finite", { ratio: Infinity }, (pond) => pond.number("ratio"), "pond.ratio: expected a number without a unit, got Infinity"],
  ["a number at its upper end, which is not its own", { ratio: 1 }, (pond) => pond.number("ratio", { below: 1 }), "pond.ratio: expected a number below 1, got 1"],
  ["a quantity that is missing", {}, (pond) => pond.quantity("depth", "length"), 'pond.depth: expected a length such as "2.5 ft", "18 in" or "0.75 m", got nothing'],
  ["a quantity out of bounds", { depth: "3 m" }, (pond) => pond.quantity("depth", "length", { least: 0.1, below: 3 }),
    'pond.depth: expected a length of 0.1 m or more and below 3 m, got "3 m"'],
  ["a word that is missing", {}, (pond) => pond.word("shape", ["round", "square"]), 'pond.shape: expected one of "round", "square", got nothing'],
  ["a flag as text", { lined: "yes" }, (pond) => pond.flag("lined", false), 'pond.lined: expected true or false, got "yes"'],
  ["a list of nothing", { dips: [] }, (pond) => pond.list("dips", () => 0), "pond.dips: expected a list of one or more, got an empty list"],
  ["a key that nobody asked for", { ratoi: 1 }, (pond) => pond.number("ratio", { missing: 1 }), 'pond.ratoi: expected no such key (did you mean "ratio"?), got 1'],
  ["what is not an object of options, once and not for each key", [1], (pond) => [pond.number("ratio"), pond.quantity("depth", "length"), pond.word("shape", ["round"])],
    "pond: expected an object of options, got a list of 1"],
])("tells of %s", (_, given, read, line) => {
  expect(said(given, read)).toBe(line);
});

test("reads what is lawful, both ends of a bound too, and what stands in for a missing key", () => {
  const read: unknown[] = [];
  expect(said({ depth: "50 cm", ratio: 1, shape: "round", lined: true }, (pond) => {
    read.push(pond.quantity("depth", "length", { least: 0.5, most: 0.5 }), pond.number("ratio", { least: 1, most: 1 }), pond.word("shape", ["round"]));
    read.push(pond.flag("lined", false), pond.flag("covered", true), pond.number("share", { missing: 0.25 }), pond.quantity("width", "length", { missing: 2 }));
    read.push(pond.word("bed", ["clay", "sand"], "sand"), pond.has("bed"), pond.keys());
  })).toBe("");
  expect(read).toEqual([0.5, 1, "round", true, true, 0.25, 2, "sand", false, ["depth", "ratio", "shape", "lined"]]);
});
