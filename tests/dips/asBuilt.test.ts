import { describe, expect, test } from "vitest";
import { asBuilt } from "../../lib/dips/asBuilt.ts";
import { pitLife } from "../../lib/dips/pitLife.ts";
import { pitLifePart } from "../../lib/report/pitLifePart.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { asBuiltPart } from "../../lib/report/pitLifePart.ts";
import { expectClose } from "../closeTo.ts";
import { demo } from "../site/siteFiles.ts";

const file = demo("linden-row") as unknown as Readonly<Record<string, unknown>>;

describe("works as built", () => {
  test("have the room of their own length: a pit of stone half as long holds half", () => {
    const stone = { ...file, chamberBank: { ...(file["chamberBank"] as object), chambers: [] } };
    const { storage, changes } = asBuilt(stone, { date: "2026-05-02", chamberBank: { length: "1.8 m" } });
    // linden-row's pit is 3.6 m long; box and trench hold the same in both, so the difference is half of the pit's
    expect(changes).toEqual([{ key: "chamberBank.length", drawn: "3.6 m", built: "1.8 m" }]);
    const { storage: third } = asBuilt(stone, { date: "2026-05-02", chamberBank: { length: "2.7 m" } });
    expectClose(storage.drawn - storage.built, 2 * (storage.drawn - third.built), { relative: 1e-9, because: "a straight line in the length" });
  });

  test("say what no longer holds in the same storms, on a page without a hole in it", () => {
    const result = asBuilt(file, { date: "2026-05-02", chamberBank: { length: "2.7 m" }, soil: { layers: [{ conductivity: "3 mm/h" }] } });
    expect(result.noLonger.join(" ")).toMatch(/as drawn|room for/);
    expect(result.answer).toMatch(/^As built on 2026-05-02, built to hold .* where .* were drawn: /);
    const { markup } = asBuiltPart(result).section;
    expect(markup).toContain("What no longer holds");
    expect(markup).not.toMatch(/NaN|undefined|Infinity/);
  });

  test("stand over what earlier entries of the file say, which stay", () => {
    const kept = { ...file, asBuilt: [{ date: "2026-05-02", chamberBank: { length: "3.2 m", floor: "61.4 m" } }] };
    const { changes } = asBuilt(kept, { date: "2026-05-09", chamberBank: { length: "3 m" } });
    expect(changes.map(({ key, built }) => [key, built])).toEqual([["chamberBank.length", "3 m"], ["chamberBank.floor", "61.4 m"]]);
    expect(asBuilt(kept, { date: "2026-04-01", chamberBank: { length: "3 m" } }).changes.map(({ key }) => key)).toEqual(["chamberBank.length"]);
  });

  test("are refused where they have no date, or a part that nobody builds", () => {
    expect(() => asBuilt(file, { chamberBank: { length: "3 m" }, storms: [] })).toThrow([
      "What was built cannot be used:",
      '  asBuilt.date: expected a day such as "2026-05-02", got nothing',
      "  asBuilt.storms: expected one of catchments, settlingBox, chamberBank, overflowTrench, emitter, lowSpot, soil, groundwater, got an empty list",
    ].join("\n"));
  });
});

describe("the life of a pit", () => {
  const dips = [0, 30, 60, 120, 240, 400].map((minutes) => ({ time: `${minutes} min`, depth: `${(0.9 * Math.exp(-minutes / 600)).toFixed(3)} m` }));
  const diary = [
    { date: "2026-06-01", dips, note: "first fill" }, { date: "2028-03-04", cleaned: "boxes" }, { date: "2029-01-05 07:10", lid: "open" },
    { date: "2031-06-01", found: { soil: 0.5, low: 0.4, high: 0.6, since: "2031-01-01" } },
  ];

  test("is its days in their order, and at each measurement how long it takes to empty", () => {
    const life = pitLife({ ...file, asBuilt: [{ date: "2026-05-02", chamberBank: { length: "3.5 m" } }], diary })!;
    expect(life.dayOne).toBe("2026-05-02");
    expect(life.points.map(({ date, by }) => [date, by])).toEqual([["2026-06-01", "fill test"], ["2031-06-01", "logger"]]);
    expect(life.events.map(({ kind }) => kind)).toEqual(["built", "fill test", "note", "cleaned", "lid", "logger"]);
    // half the soil empties it in twice the time, but for what seeps away while it rains
    const [, last] = life.points;
    const ratio = last!.emptying.time! / life.asDrawn!.time!;
    expect(ratio > 1.6 && ratio < 2.6).toBe(true);
    expect(last!.emptying.band.low! < last!.emptying.time! && last!.emptying.time! < last!.emptying.band.high!).toBe(true);
    const { markup } = pitLifePart(life).section;
    expect(markup).toContain("The lid was seen open.");
    expect(markup).not.toMatch(/NaN|undefined|Infinity/);
  });

  test("has the time that a season found by all that was measured, where the storm asked is still the one of then", () => {
    const [, , , { found }] = diary as [unknown, unknown, unknown, { found: object }];
    const lifeOf = (storm: string, half: boolean) => {
      const empties = { storm, half, time: "70 h", low: "65 h", high: "76 h" };
      return pitLife({ ...file, diary: [{ date: "2031-06-01", found: { ...found, empties } }] })!.points[0]!.emptying;
    };
    const bySoil = lifeOf("another", true);
    expect(bySoil.time).not.toBe(70 * 3600);
    const then = lifeOf(bySoil.storm, bySoil.half);
    expect([then.time, then.band]).toEqual([70 * 3600, { low: 65 * 3600, high: 76 * 3600 }]);
    expect(lifeOf(bySoil.storm, !bySoil.half).time).toBe(bySoil.time);
    expect(() => pitLife({ ...file, diary: [{ date: "2031-06-01", found: { ...found, empties: { storm: "x", time: 70 } } }] })).toThrow(/diary\[0\]\.empties\.time/);
  });

  test("is nothing where the file tells of no day", () => expect(pitLife(file)).toBe(null));

  test("refuses a day that says nothing, and names the day whose dips cannot be used", () => {
    const wrong = { ...file, diary: [{ date: "2026-06-01" }, { date: "spring", note: "x" }, { date: "2026-07-01", cleand: "boxes" }] };
    expect(() => readSite(wrong)).toThrow(/diary\[0\]: expected something beside the day, got a day alone/);
    expect(() => readSite(wrong)).toThrow(/diary\[1\]\.date: expected a day such as "2026-05-02", or "2026-05-02 08:30", got "spring"/);
    expect(() => readSite(wrong)).toThrow(/diary\[2\]\.cleand: expected a known key \(did you mean "cleaned"\?\)/);
    expect(() => pitLife({ ...file, diary: [{ date: "2026-06-01", dips: dips.slice(0, 2) }] })).toThrow("diary[0].dips: expected 4 or more dips with water in the pit, while it falls, got 2");
  });
});
