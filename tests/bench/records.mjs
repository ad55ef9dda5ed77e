import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import { readRain } from "../../dist/hydrology.js";
import { simulateRecord } from "../../dist/index.js";
import { hourlyRain } from "./rainRecord.mjs";
import { round, summary } from "./summary.mjs";

/** One, ten and fifty years of hourly rain through the works: time, and what is alive afterwards beyond the record itself. */
export async function records(site) {
  setFlagsFromString("--expose-gc");
  const collect = runInNewContext("gc");
  const rows = [];
  let tenYears = NaN;
  for (const years of [1, 10, 50]) {
    const { rain } = await readRain(hourlyRain(years));
    simulateRecord(site, rain);
    const before = alive(collect);
    const times = [];
    let run;
    for (let i = 0; i < 5; i++) {
      const start = performance.now();
      run = simulateRecord(site, rain);
      times.push(performance.now() - start);
    }
    const measured = summary(times);
    if (years === 10) tenYears = measured.median_ms;
    rows.push({
      case: `${years} years of hourly rain, ${run.storms.length} storms`,
      ...measured, ...run.work,
      heap_MB: round(alive(collect) - before),
      ...(years === 10 ? { error_mm: worstPeak(run, simulateRecord(site, rain, { tolerance: 1e-9 })) } : {}),
      ...(years === 50 ? { ratio: round(measured.median_ms / tenYears) } : {}),
    });
  }
  return rows;
}

function alive(collect) {
  collect();
  collect();
  const { heapUsed, arrayBuffers } = process.memoryUsage();
  return (heapUsed + arrayBuffers) / 1e6;
}

/** Largest difference of a body's peak in any storm, in millimetres. */
function worstPeak(run, exact) {
  let worst = 0;
  run.storms.forEach(({ peaks }, i) => {
    for (const { name: body } of run.bodies) worst = Math.max(worst, Math.abs(peaks[body].level - exact.storms[i].peaks[body].level));
  });
  return round(1000 * worst);
}
