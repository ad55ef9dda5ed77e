import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readDips, type Dips, type DipsGiven } from "../../lib/dips/dips.ts";
import { optionReader } from "../../lib/text/optionReader.ts";
import { InputError } from "../../lib/text/problem.ts";
import { expectAllClose } from "../closeTo.ts";

/** A pit from 92.4 ft to 98.6 ft. */
const FLOOR = 92.4 * 0.3048;
const GROUND = 98.6 * 0.3048;

function read(given: DipsGiven): Dips {
  const reader = optionReader("test", given, "The dips cannot be read:");
  const dips = readDips(reader, FLOOR, GROUND);
  reader.done();
  return dips;
}

function problems(given: unknown): string[] {
  try {
    read(given as DipsGiven);
  } catch (error) {
    if (error instanceof InputError) return error.message.split("\n  ").slice(1);
    throw error;
  }
  return [];
}

function expectDips({ time, level }: Dips, expected: readonly (readonly [time: number, depth: number])[]): void {
  expect(time.length).toBe(expected.length);
  expectAllClose(expected.flatMap(([moment, depth], i) => [
    { what: `time ${i}`, value: time[i]!, expected: moment }, { what: `depth ${i}`, value: level[i]! - FLOOR, expected: depth },
  ]), { absolute: 1e-12, because: "round-off of a unit and of the floor's level" });
}

const IN = 0.0254;

describe("dips", () => {
  test("are depths over the floor, levels, or a tape down from a mark, each with its units", () => {
    expectDips(read({
      dips: [{ time: "10 min", depth: `2' 7"` }, { time: "1 h 30 min", level: "94.4 ft" }, { time: "1 day", down: "5 ft 1/2 in" }],
      markLevel: "98.4 ft",
    }), [[600, 31 * IN], [5400, 24 * IN], [86400, 11.5 * IN]]);
  });

  test("are read alike from a list and from a table of any separator, units in the head or in the cells", () => {
    const wanted = [[600, 31 * IN], [1800, 29.5 * IN]] as const;
    for (const table of [
      "time (min), depth (in)\n10, 31\n30, 29 1/2\n",
      "\ufefftime_min;depth_in;who\r\n10;31;A\r\n\r\n# a break\r\n30;29.5;\r\n",
      "Time [min]\tDepth\n10\t31 in\n0.5 h\t29.5 in",
      "10 min, 31 in\n30 min, 29 1/2\"",
    ]) expectDips(read({ dips: table }), wanted);
    expectDips(read({ dips: "time (h), down (ft)\n0, 4\n2.5, 4.5", markLevel: "98.4 ft" }), [[0, 24 * IN], [9000, 18 * IN]]);
  });

  test("come back as they were written, whatever they were", () => {
    fc.assert(fc.property(
      fc.array(fc.tuple(fc.integer({ min: 1, max: 500 }), fc.integer({ min: 0, max: 1800 })), { minLength: 1, maxLength: 20 }),
      (steps) => {
        let minutes = 0;
        const rows = steps.map(([wait, mm]) => [minutes += wait, mm] as const);
        const asList = read({ dips: rows.map(([min, mm]) => ({ time: `${min} min`, depth: `${mm} mm` })) });
        const asText = read({ dips: `time (min),depth (mm)\n${rows.map((row) => row.join()).join("\n")}` });
        expectDips(asList, rows.map(([min, mm]) => [60 * min, mm / 1000]));
        expect(asText).toEqual(asList);
      },
    ));
  });

  test("may read a centimetre past the floor and the ground, as a tape does, and no more", () => {
    const past = (mm: number): string[] => [
      ...problems({ dips: [{ time: "1 h", level: `${GROUND + mm / 1000} m` }] }),
      ...problems({ dips: [{ time: "1 h", level: `${FLOOR - mm / 1000} m` }] }),
    ];
    expect(past(9)).toEqual([]);
    expect(past(11)).toHaveLength(2);
  });

  test("say all that is wrong with a list at once, each in its place", () => {
    expect(problems({ dips: [{ time: "10", depth: "31 in" }, { time: "20 min", depth: "9 ft" }, { time: "15 min", depth: "1 ft", down: "2 ft" }, { time: "1 h" }, { tim: "2 h", down: "8 ft" }] })).toEqual([
      'test.dips[0].time: expected a time such as "8:15 AM", "Tue 16:30", "day 2 7:30", "2026-06-14 08:15", "1h40" or "20 min", got "10"',
      'test.dips[2].down: expected no down beside a depth, got "2 ft"',
      'test.dips[3].depth: expected a length such as "2.5 ft", "18 in" or "0.75 m", got nothing',
      'test.dips[4].time: expected a time such as "8:15 AM", "Tue 16:30", "day 2 7:30", "2026-06-14 08:15", "1h40" or "20 min", got nothing',
      'test.markLevel: expected a length such as "2.5 ft", "18 in" or "0.75 m", got nothing',
      'test.dips[1].depth: expected water no higher than the ground, got "9 ft"',
      'test.dips[2].time: expected a time after the one before it, got "15 min"',
      'test.dips[4].tim: expected no such key (did you mean "time"?), got "2 h"',
    ]);
    expect(problems({ dips: [{ time: "1 h", down: "7 ft" }], markLevel: "98.4 ft" })).toEqual([
      'test.dips[0].down: expected water no deeper than the pit\'s floor, got "7 ft"',
    ]);
    expect(problems({ dips: [] })).toEqual(["test.dips: expected a list of one or more, got an empty list"]);
  });

  test("say all that is wrong with a table by its lines", () => {
    expect(problems({ dips: "time (min), depth (in)\n10, 31\nx, 30\n8, 2.5 gal" })).toEqual([
      'test.dips line 3, time: expected a time such as "8:15 AM", "Tue 16:30", "day 2 7:30", "2026-06-14 08:15", "1h40" or "20 min", got "x"',
      'test.dips line 4, depth: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "2.5 gal", a volume',
    ]);
    expect(problems({ dips: "time (min), depth (in)\n10, 31\n10, 30" })).toEqual([
      'test.dips line 3, time: expected a time after the one before it, got "10"',
    ]);
    expect(problems({ dips: "time, colour\n1, 2" })).toEqual(['test.dips line 1: expected one column of depth, down or level beside time, got columns "time", "colour"']);
    expect(problems({ dips: "\n# nothing\n" })).toEqual(["test.dips: expected a line for each dip, got none"]);
  });
});
