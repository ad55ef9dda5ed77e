import { describe, expect, test } from "vitest";
import { asBuilt } from "../../lib/dips/asBuilt.ts";
import { asBuiltPart } from "../../lib/report/asBuiltPart.ts";
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

  test("are refused where they have no date, or a part that nobody builds", () => {
    expect(() => asBuilt(file, { chamberBank: { length: "3 m" }, storms: [] })).toThrow([
      "What was built cannot be used:",
      '  asBuilt.date: expected a day such as "2026-05-02", got nothing',
      "  asBuilt.storms: expected one of catchments, settlingBox, chamberBank, overflowTrench, emitter, lowSpot, soil, groundwater, got an empty list",
    ].join("\n"));
  });
});
