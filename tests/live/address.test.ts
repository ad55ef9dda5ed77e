import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { addressOf, stateOf } from "../../lib/live/address.ts";
import { changedWords } from "../../lib/live/wakePage.ts";
import { editedFile, type FileData } from "../../lib/live/editedFile.ts";
import { hourRefusal, liveRun, type LiveRun } from "../../lib/live/liveRun.ts";
import { lastingData } from "../../lib/schema/lastingData.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { InputError } from "../../lib/text/problem.ts";
import { shareOf } from "../share.ts";
import { handleKey } from "../../lib/live/handleLayer.ts";
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
  test("is the file with one value written again, and the given one stays as it was", () => {
    const before = structuredClone(lane);
    const edited = editedFile(lane, withEdit(asItIs, "groundwater", "93 ft"), {});
    expect(edited).toEqual({ ...lane, groundwater: { level: "93 ft" } });
    expect(lane).toEqual(before);
  });

  test("takes a change back when it changes nothing, and keeps changes of the site when another storm is chosen", () => {
    const state = withEdit(withEdit(asItIs, "rain", "4 in"), "chambers", "6");
    expect(withEdit(state, "rain", null).edits).toEqual({ chambers: "6" });
    expect(withStorm(state, 1)).toEqual({ storm: 1, hour: null, edits: { chambers: "6" }, others: { 0: { rain: "4 in" } } });
    expect(withStorm(withStorm(state, 1), state.storm).edits).toEqual(state.edits);
  });

  test("refuses what the file does not have", () => {
    const { overflowTrench: _trench, emitter: _emitter, ...bare } = lane;
    expect(() => editedFile(bare, withEdit(asItIs, "trench", "30 ft"), {})).toThrow("overflowTrench: expected a site that has one, got a site without");
    expect(() => editedFile(lane, withEdit(asItIs, "soil7", "3 mm/h"), {})).toThrow("soil7: expected a layer from 1 to 2, got 7");
    expect(() => editedFile(lane, withEdit(asItIs, "lid", "ajar"), {})).toThrow('lid: expected "shut" or "free", got ajar');
  });
});

test("a page that reads and runs again only what a hand has changed says what a first reading says", () => {
  for (const [name, table] of [["copperbeech-lane", "92ft"], ["sedge-hollow", "42.5ft"], ["hazelbank-lower-bench", "none"]] as const) {
    const whole = demo(name);
    const file = { ...whole, storms: (whole["storms"] as readonly { file?: string }[]).filter((storm) => storm.file === undefined) };
    const source = { file: lastingData(structuredClone(file)), recorded: {} };
    const changes = ["rain=2in", "rain=2in&groundwater=none", `groundwater=${table}`, "soil1=3mm/h", "chambers=3", "duration=6h", "lid=shut"];
    for (const address of ["", ...changes.map((change) => `#${change}`), ""]) {
      const { state } = stateOf(address, file.storms.length);
      for (const isQuick of [true, false]) {
        const [live, first] = [liveRun(source, state, isQuick).run, liveRun({ file, recorded: {} }, state, isQuick).run];
        expect({ ledger: live.ledger, peaks: live.peaks, firings: live.firings, notes: live.notes }, `${name} ${address}`)
          .toEqual({ ledger: first.ledger, peaks: first.peaks, firings: first.firings, notes: first.notes });
        const { rain, options: { tolerance } } = first;
        const settled = settledRun(readSite(editedFile(file, state, {})), rain!, tolerance === undefined ? {} : { tolerance });
        expect(live.ledger).toEqual(settled.ledger);
      }
    }
  }
});

test("keys move a handle as sliders are moved everywhere", () => {
  const handle = { ends: ["first", "last"] as const };
  expect(["ArrowUp", "ArrowLeft", "PageUp", "PageDown", "Home", "End", "a"].map((key) => handleKey(handle, key)))
    .toEqual([
      { steps: 1, large: false }, { steps: -1, large: false }, { steps: 1, large: true }, { steps: -1, large: true }, { to: "first" }, { to: "last" }, null,
    ]);
});

describe("an address out of range", () => {
  const plain = { ...lane, storms: (lane["storms"] as readonly { file?: string }[]).filter(({ file }) => file === undefined) };
  const bank = lane["chamberBank"] as { readonly chambers: readonly object[] };
  const { chambers: _chambers, ...stone } = bank;
  const bare = { ...plain, chamberBank: stone };
  const uncounted = { ...plain, chamberBank: { ...bank, chambers: bank.chambers.map((kind) => ({ ...kind, count: undefined })) } };
  const opened = (file: FileData, address: string): LiveRun => liveRun({ file, recorded: {} }, stateOf(address, 2).state);

  test.each<[FileData, string, string]>([
    [plain, "#rain=1e9mm", "storms[0]: expected 3820 mm of rain at most in 24 h, twice the greatest that fell anywhere, got 1000000000 mm"],
    [plain, "#rain=1e40mm", "far too large"],
    [plain, "#storm=2&duration=1s", "storms[1]: expected 17.2 mm of rain at most in 1 s, twice the greatest that fell anywhere, got 45.7 mm"],
    [bare, "#chambers=5", "chambers: expected a pit that has some, of which there can be more or fewer, got one of stone alone"],
    [plain, "#soil99=1mm/h", "soil99: expected a layer from 1 to 2, got 99"],
  ])("is refused in words", (file, address, words) => {
    expect(() => opened(file, address)).toThrow(words);
  });

  test("names an hour that the run does not have", () => {
    const { run } = opened(plain, "");
    // to the digit that the page writes
    expect(hourRefusal({ ...run, until: 346_020 }, 96.117)).toBeNull();
    expect([0, 12, 96, 96.2, 1e300, -1].map((hour) => hourRefusal(run, hour))).toEqual([
      null, null, null, "hour: expected 0 h to 96 h, where the run ends, got 96.2", "hour: expected 0 h to 96 h, where the run ends, got 1e+300",
      "hour: expected 0 h to 96 h, where the run ends, got -1",
    ]);
  });

  test("counts a kind of chamber without a number as one, as its reader does", () => {
    const { file, run } = opened(uncounted, "#chambers=3");
    expect((file["chamberBank"] as { chambers: unknown[] }).chambers).toEqual([{ ...bank.chambers[0], count: 3 }]);
    expect(run.site.chamberBank.chambers[0]!.count).toBe(3);
    expect(changedWords(uncounted, stateOf("#chambers=3", 2).state)).toBe("chambers 3 (the file says 1)");
  });

  test("or of any letters ends in words or in a run", () => {
    const files = [plain, bare, uncounted, ...["linden-row", "sedge-hollow", "juniper-yard", "hazelbank-upper-bench"].map((name) => withoutFiles(demo(name)))];
    const number = fc.oneof(fc.constantFrom("0", "-1", "1e9", "1e-9", "1e400", "NaN", "", "3,4", "2 1/2", "1 2", "000", "0x10"), fc.double().map(String), fc.nat(200).map(String));
    const unit = fc.constantFrom("", "mm", "in", "ft", "m", "h", "min", "mm/h", "in/hr", "m/s", "degC", "year", "%00", "%");
    const key = fc.oneof(fc.constantFrom("storm", "hour", "rain", "duration", "groundwater", "trench", "chambers", "lid", "soil1", "soil2", "soil99", "__proto__"), fc.string({ maxLength: 6 }));
    const value = fc.oneof(fc.tuple(number, unit).map((parts) => parts.join("")), fc.constantFrom("none", "shut", "free"), fc.string({ maxLength: 8 }));
    const address = fc.array(fc.tuple(key, value).map((parts) => parts.join("=")), { minLength: 1, maxLength: 4 }).map((parts) => `#${parts.join("&")}`);
    let runs = 0;
    fc.assert(fc.property(fc.nat(files.length - 1), address, (which, text) => {
      const file = files[which]!;
      const { state, unknown } = stateOf(text, (file["storms"] as unknown[]).length);
      expect(unknown.every((each) => typeof each === "string")).toBe(true);
      changedWords(file, state);
      try {
        const { run } = liveRun({ file, recorded: {} }, state);
        expect(Object.values(run.peaks).every(({ level }) => Number.isFinite(level))).toBe(true);
        runs++;
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
        expect(error.message).not.toMatch(/NaN (?:m|ft|in)\b|undefined|\[object/);
      }
    }), { seed: 1, numRuns: shareOf(1000) });
    expect(runs).toBeGreaterThan(shareOf(100));
  });

  function withoutFiles(file: FileData): FileData {
    return { ...file, storms: [{ name: "cloudburst", pattern: "block", depth: "34 mm", duration: "1 h" }], studies: undefined };
  }
});
