import { describe, expect, test } from "vitest";
import { lastingData } from "../../lib/schema/lastingData.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { demo, demoNames, fixture, fixtureNames } from "../site/siteFiles.ts";

describe("data that lasts is read once", () => {
  test("and says what the same data says that does not", () => {
    for (const file of [...demoNames.map(demo), ...fixtureNames.map(fixture)]) {
      const again = lastingData(structuredClone(file));
      readSite(again);
      expect(readSite(again), String(file["name"])).toEqual(readSite(file));
    }
  });

  test("with its problems, each time, and where they are", () => {
    const bad = { ...demo("copperbeech-lane"), chamberBank: { ...(demo("copperbeech-lane")["chamberBank"] as object), floor: "93 stone" } };
    const problemsOf = (file: unknown): string => {
      try {
        readSite(file);
        return "none";
      } catch (error) {
        return String(error);
      }
    };
    const once = problemsOf(structuredClone(bad));
    const lasting = lastingData(structuredClone(bad));
    expect(once).toContain("chamberBank.floor");
    expect([problemsOf(lasting), problemsOf(lasting)]).toEqual([once, once]);
  });

  test("while data that may change is read again", () => {
    const file = Object.freeze(structuredClone(demo("copperbeech-lane")));
    const before = readSite(file).chamberBank.floor;
    (file["chamberBank"] as { floor: string }).floor = "93.5 ft";
    expect(readSite(file).chamberBank.floor).not.toBe(before);
    expect(Object.isFrozen(file["chamberBank"])).toBe(false);
  });

  test("and cannot be changed", () => {
    const file = lastingData({ list: [{ deep: 1 }] });
    expect(() => { (file.list[0] as { deep: number }).deep = 2; }).toThrow(TypeError);
  });
});
