// Fifty years of hourly rain, read and turned into an inflow: how long it takes and what the reading holds in memory.
// The core is measured, so the text is made here, in pieces as a file's stream would hand them on.
import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import { readRain } from "../../dist/hydrology.js";
import { inflowHydrographs } from "../../dist/index.js";

const YEARS = 50;
const HOUR_MS = 3_600_000;
const PIECE = 65_536; // characters; a file's stream hands on as many bytes
const WET_HOURS_A_YEAR = 1200;

/** Two invented roofs, as `readSite` makes them. */
const site = {
  catchments: [
    { name: "roof", area: 140, timeOfConcentration: 300, drainsTo: "settlingBox", initialLoss: 0.0005, loss: { kind: "runoffCoefficient", runoffCoefficient: 0.9 } },
    { name: "shed", area: 35, timeOfConcentration: 420, drainsTo: "settlingBox", initialLoss: 0.0005, loss: { kind: "runoffCoefficient", runoffCoefficient: 0.9 } },
  ],
};

/**
 * @returns {Promise<{ readSeconds: number, inflowSeconds: number, heapGrowthMB: number, resultMB: number, rows: number }>}
 *   `heapGrowthMB` is the most that was alive while reading beyond what was before, the garbage collected first; `resultMB`
 *   what the arrays of the result hold
 */
export async function rainRecord() {
  const collect = collector();
  const growth = await heapGrowth(collect);
  const start = performance.now();
  const record = await readRain(hourlyRain(YEARS));
  const read = performance.now();
  const flows = inflowHydrographs(site, record.rain);
  const end = performance.now();
  if (!(flows.settlingBox.flow.length > record.rain.depth.length)) throw new Error("the inflow is shorter than the rain");
  return {
    readSeconds: (read - start) / 1000,
    inflowSeconds: (end - read) / 1000,
    heapGrowthMB: growth,
    resultMB: (record.rain.time.byteLength + record.rain.depth.byteLength) / 1e6,
    rows: record.linesRead,
  };
}

/** A reading of its own, for collecting garbage takes time. */
async function heapGrowth(collect) {
  const alive = () => {
    collect();
    collect();
    const { heapUsed, arrayBuffers } = process.memoryUsage();
    return heapUsed + arrayBuffers;
  };
  let most = 0;
  async function* watched() {
    let pieces = 0;
    for (const piece of hourlyRain(YEARS)) {
      yield piece;
      if (++pieces % 20 === 0) most = Math.max(most, alive());
    }
    most = Math.max(most, alive());
  }
  // What the first reading compiles stays in memory and is not the record's.
  await readRain(hourlyRain(1));
  const before = alive();
  await readRain(watched());
  return (most - before) / 1e6;
}

function collector() {
  setFlagsFromString("--expose-gc");
  return runInNewContext("gc");
}

/**
 * CSV of hourly rain in pieces, the same each time: showers of 1 to 11 hours, in the mean 1200 wet hours a year.
 */
export function* hourlyRain(years) {
  const random = seeded(20260301);
  const hours = Math.round(years * 8766);
  const start = Date.UTC(1970, 0, 1);
  const dryToWet = WET_HOURS_A_YEAR / 6 / (8766 - WET_HOURS_A_YEAR);
  let piece = "interval start,rain [mm]\n";
  let wetLeft = 0;
  for (let hour = 0; hour < hours; hour++) {
    if (wetLeft === 0 && random() < dryToWet) wetLeft = 1 + Math.floor(11 * random());
    const rain = wetLeft > 0 ? (0.1 + 6 * random() ** 4).toFixed(1) : "0.0";
    if (wetLeft > 0) wetLeft--;
    piece += `${new Date(start + hour * HOUR_MS).toISOString().slice(0, 16)},${rain}\n`;
    if (piece.length >= PIECE) {
      yield piece;
      piece = "";
    }
  }
  yield piece;
}

/** Marsaglia's xorshift of 32 bits, as numbers from 0 to 1. */
function seeded(seed) {
  let state = seed;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 4294967296;
  };
}
