import { expect, test } from "vitest";
import { heightText } from "../../lib/text/words.ts";
import { momentText } from "../../lib/text/hours.ts";
import { rainPanel, rainText } from "../../lib/figures/rainPanel.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { drawnRun } from "./drawnRun.ts";

const run = drawnRun("library-3in");

test.each([[0.1, "us", "3.9 in"], [9.96 * 0.0254, "us", "10 in"], [1.49 * 0.3048, "us", "18 in"], [0.0032, "si", "3.2 mm"], [0.084, "si", "84 mm"], [0.526, "si", "530 mm"], [18.24, "us", "718 in"]] as const)(
  "a height of %d m is never written in feet or metres (%s)", (height, units, words) => {
    expect(heightText(height, units)).toBe(words);
  },
);

test("a block storm has no moment of its most, another has", () => {
  const heading = (storm: Parameters<typeof designStorm>[0]): string => {
    const each = simulate(run.site, designStorm(storm), { until: "30 h" });
    return rainPanel(each, { end: 30, tick: 6 }, 1000).heading;
  };
  expect(heading({ pattern: "block", depth: "1.8 in", duration: "1 h" })).toBe("rain, in/h — 1.80 in over 1 h, at most 1.8 in/h");
  expect(heading({ pattern: "nrcs-ii", depth: "3 in" })).toMatch(/^rain, in\/h — 3\.00 in over 24 h, at most [\d.]+ in\/h at hour 11\.8$/);
});

test("notes write moments and heights as titles do", () => {
  const { notes, until } = simulate(run.site, designStorm({ pattern: "nrcs-ii", depth: "3 in" }), { until: "50 h" });
  expect(notes).toContain(`The pit still holds water of the storm at ${momentText(until)}, where the run ends.`);
  const calm = simulate(run.site, designStorm({ pattern: "block", depth: "0.5 in", duration: "1 h" }), { until: "30 h" });
  // the trench stays dry: the pit is the nearest water
  const short = run.site.emitter!.opensAt - calm.peaks["chamberBank"]!.level;
  expect(calm.notes).toContain(`The emitter stays shut: the water of pit and trench stops ${heightText(short, "us")} below the level that lifts its lid.`);
  expect(rainText(calm)).toBe("0.50 in over 1 h");
});
