import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { variedSite } from "../../lib/simulate/variedSite.ts";
import { readSite } from "../../lib/site/readSite.ts";

const FILES = ["copperbeech-lane", "linden-row", "sedge-hollow"];
const storm = designStorm({ pattern: "nrcs-ii", depth: "4 in" });

/** Everything a run answers, as numbers that can be told apart to the last bit. */
function answers({ ledger, firings, peaks, drainDown }: Run): unknown {
  return { ledger, firings, peaks, drainDown };
}

describe.each(FILES)("%s", (file) => {
  const text = readFileSync(new URL(`../../data/${file}.json`, import.meta.url), "utf8");
  const site = readSite(text);

  test("with its conductivities doubled runs as the file would with doubled figures", () => {
    const raw = JSON.parse(text) as { soil: { layers: { conductivity: string }[] } };
    for (const layer of raw.soil.layers) {
      const [number, ...unit] = layer.conductivity.split(" ");
      layer.conductivity = [String(2 * Number(number)), ...unit].join(" ");
    }
    expect(answers(simulate(variedSite(site, { conductivityFactor: 2 }), storm))).toEqual(answers(simulate(readSite(raw), storm)));
  });

  test("over another water table runs as the file would", () => {
    const raw = JSON.parse(text) as { groundwater?: { level?: string } };
    const level = `${site.chamberBank.floor + 0.2} m`;
    raw.groundwater = { ...raw.groundwater, level };
    expect(answers(simulate(variedSite(site, { groundwaterLevel: level }), storm))).toEqual(answers(simulate(readSite(raw), storm)));
  });

  test("with its groundwater moved runs as over the level moved, and both at once are refused", () => {
    const wet = variedSite(site, { groundwaterLevel: site.chamberBank.floor + 0.1 });
    const higher = variedSite(wet, { groundwaterShift: "100 mm" });
    const same = variedSite(site, { groundwaterLevel: site.chamberBank.floor + 0.1 + 0.1 });
    expect(answers(simulate(higher, storm))).toEqual(answers(simulate(same, storm)));
    expect(() => variedSite(site, { groundwaterLevel: 1, groundwaterShift: 1 })).toThrow(
      "variation: expected a groundwaterLevel or a groundwaterShift, got both",
    );
  });

  test("is not changed by being varied, nor by runs of what was made of it", () => {
    const before = answers(simulate(site, storm));
    simulate(variedSite(site, { conductivityFactor: 7, groundwaterLevel: site.chamberBank.floor + 0.1 }), storm);
    expect(answers(simulate(site, storm))).toEqual(before);
  });
});

test("says all that is wrong with a variation", () => {
  const site = readSite(readFileSync(new URL("../../data/linden-row.json", import.meta.url), "utf8"));
  expect(() => variedSite(site, { conductivityFactor: 0, groundwaterLevel: "wet", depth: 1 } as never)).toThrow([
    "The site cannot be varied:",
    "  variation: expected one of conductivityFactor, trenchFactor, groundwaterLevel, groundwaterShift, got \"depth\"",
    "  conductivityFactor: expected a number more than 0, got 0",
    "  groundwaterLevel: expected a length such as \"2.5 ft\", \"18 in\" or \"0.75 m\", got \"wet\"",
  ].join("\n"));
});
