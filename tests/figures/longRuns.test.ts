import { expect, test } from "vitest";
import { flowFigure } from "../../lib/figures/flowFigure.ts";
import { levelFigure } from "../../lib/figures/levelFigure.ts";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { demo } from "../site/siteFiles.ts";

// two months of five-minute rain, wet for an hour every ten
const EDGES = 17_280;
const rain = hyetograph({
  time: Array.from({ length: EDGES + 1 }, (_, i) => i * 300),
  depth: Array.from({ length: EDGES }, (_, i) => (i % 120 < 12 ? 1e-4 * (1 + (i % 7)) : 0)),
});

test("pictures of a long run at eight widths ask it for its flows and levels a few times a step, not for each width", () => {
  const run = simulate(readSite(demo("linden-row")), rain);
  const steps = run.times.length;
  expect(steps).toBeGreaterThan(EDGES);
  let [flows, levels] = [0, 0];
  const counted: typeof run = {
    ...run,
    flow: (passage, time) => { flows++; return run.flow(passage, time); },
    level: (body, time) => { levels++; return run.level(body, time); },
    levels: (body, times) => { levels += times.length; return run.levels(body, times); },
  };
  for (const width of [288, 328, 358, 420, 560, 670, 820, 1080]) {
    flowFigure(counted, { width });
    levelFigure(counted, { width });
  }
  // three looks at each flow (is it one, how large, how does it run), and two at each level
  expect(flows).toBeLessThan(4 * steps * run.passages.length);
  expect(levels).toBeLessThan(4 * steps * run.bodies.length);
});
