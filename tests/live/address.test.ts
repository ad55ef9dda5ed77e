import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { addressOf, stateOf } from "../../lib/live/address.ts";
import { editedFile } from "../../lib/live/editedFile.ts";
import { handleKey } from "../../lib/live/handleKeys.ts";
import { asItIs, withEdit, withStorm, type LiveState } from "../../lib/live/liveState.ts";
import { demo } from "../site/siteFiles.ts";

const lane = demo("copperbeech-lane");

describe("the address of a live page", () => {
  test("is short enough to be read", () => {
    expect(addressOf({ storm: 1, hour: 12, edits: { rain: "3.4 in" } })).toBe("#storm=2&rain=3.4in&hour=12");
    expect(addressOf(asItIs)).toBe("");
  });

  test("gives back the state that made it, white space between a figure and its unit aside", () => {
    const text = fc.constantFrom("3.4in", "94.25ft", "none", "90min", "0.8in/hr", "12mm/h", "6", "shut", "5ft 6in");
    const edits = fc.record({ rain: text, groundwater: text, trench: text, soil2: text, lid: text }, { requiredKeys: [] });
    const states = fc.record({ storm: fc.integer({ min: 0, max: 4 }), hour: fc.option(fc.integer({ min: 0, max: 90 })), edits });
    fc.assert(fc.property(states, (state) => {
      const { state: back, unknown } = stateOf(addressOf(state), 5);
      expect(unknown).toEqual([]);
      const tight = (each: LiveState): unknown => JSON.parse(JSON.stringify(each).replace(/(\d) (?=[a-z])/g, "$1"));
      expect(tight(back)).toEqual(tight(state as LiveState));
    }));
  });

  test("tells what it does not know, and leaves it out", () => {
    expect(stateOf("#storm=9&rain=2in&colour=red&hour=x", 3)).toEqual({
      state: { storm: 0, hour: null, edits: { rain: "2in" } }, unknown: ["storm=9", "colour=red", "hour=x"],
    });
  });
});

describe("a changed site file", () => {
  test("is the file with one value written anew, and the given one stays as it was", () => {
    const before = structuredClone(lane);
    const edited = editedFile(lane, withEdit(asItIs, "groundwater", "93 ft"), {});
    expect(edited).toEqual({ ...lane, groundwater: { level: "93 ft" } });
    expect(lane).toEqual(before);
  });

  test("takes a change back when it is none, and keeps changes of the site when another storm is chosen", () => {
    const state = withEdit(withEdit(asItIs, "rain", "4 in"), "chambers", "6");
    expect(withEdit(state, "rain", null).edits).toEqual({ chambers: "6" });
    expect(withStorm(state, 1)).toEqual({ storm: 1, hour: null, edits: { chambers: "6" } });
  });

  test("refuses what the file does not have", () => {
    const { overflowTrench: _trench, emitter: _emitter, ...bare } = lane;
    expect(() => editedFile(bare, withEdit(asItIs, "trench", "30 ft"), {})).toThrow("overflowTrench: expected a site that has one, got a site without");
    expect(() => editedFile(lane, withEdit(asItIs, "soil7", "3 mm/h"), {})).toThrow("soil7: expected a layer from 1 to 2, got 7");
    expect(() => editedFile(lane, withEdit(asItIs, "lid", "ajar"), {})).toThrow('lid: expected "shut" or "free", got ajar');
  });
});

test("keys move a handle as sliders are moved everywhere", () => {
  const handle = { step: (steps: number, large: boolean) => `${steps}${large ? " large" : ""}`, ends: ["first", "last"] as const };
  expect(["ArrowUp", "ArrowLeft", "PageUp", "PageDown", "Home", "End", "a"].map((key) => handleKey(handle, key)))
    .toEqual(["1", "-1", "1 large", "-1 large", "first", "last", null]);
});
