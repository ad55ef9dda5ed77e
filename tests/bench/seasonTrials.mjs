// Invented seasons of a logger, hour by hour, with errors of 8 mm remembered for 5 hours and 2 mm of their own.
//   node tests/bench/seasonTrials.mjs times              a planted soil of 0.4 in 29, 60 and 200 days: the band, the storms, the time it takes
//   node tests/bench/seasonTrials.mjs changes [60] [0]   a step, a trend from a day on, or none, at a day that is not told: how often it is found, how
//                                                        often it counts as one of two that the readings do not tell apart, and how often the bands
//                                                        of its day, of its size and of the soil at the end hold; 20 s each, from trial 200 on nobody
//                                                        looked while limits were set
import { readFileSync } from "node:fs";
import { normalDraw, uniformDraw } from "../../dist/numerics/draw.js";
import { readSite, season, stochasticRain } from "../../dist/index.js";
import { seasonBand } from "../../dist/dips/seasonFit.js";
import { seasonModel } from "../../dist/dips/seasonModel.js";

const DAY = 86400;
const siteOf = (name) => readSite(readFileSync(new URL(`../../data/${name}.json`, import.meta.url), "utf8"));
const figure = (value) => value.toPrecision(3);

/** Rain by the hour, from the library's own showers. */
function hourlyRain(days, seed) {
  const shower = stochasticRain({ stormsPerYear: 80, meanDepth: "11 mm", meanDuration: "7 h", years: 1, seed });
  const depth = new Float64Array(24 * days);
  shower.depth.forEach((fell, i) => {
    const [from, to] = [shower.time[i], shower.time[i + 1]];
    for (let hour = Math.floor(from / 3600); fell > 0 && hour < Math.min(depth.length, Math.ceil(to / 3600)); hour++) {
      depth[hour] += (fell * Math.max(0, Math.min(to, (hour + 1) * 3600) - Math.max(from, hour * 3600))) / (to - from);
    }
  });
  return { time: Float64Array.from({ length: depth.length + 1 }, (_, i) => 3600 * i), depth };
}

/** What a logger would have written of works that differ from the file as `truth` says. */
function logged(site, days, seed, truth, change) {
  const rain = hourlyRain(days, seed);
  const { floor } = site.chamberBank;
  const time = Float64Array.from({ length: 24 * days }, (_, i) => 3600 * (i + 1));
  const record = {
    site, rain, time, level: time.map(() => floor), dry: new Uint8Array(time.length).fill(1), dryAt: floor, cleanings: [], warmth: null,
    ...(change === null ? {} : { change }),
  };
  const model = seasonModel(record);
  const clean = model.levels(model.names.map((name, j) => truth[name] ?? (name === "waterTable" || name === "floor" ? model.unknowns[j].start : 0)));
  const kept = Math.exp(-1 / 5);
  let error = 0;
  const rows = Array.from(clean, (level, i) => {
    error = kept * error + 0.008 * Math.sqrt(1 - kept * kept) * normalDraw(seed, 1, 2 * i);
    const over = level - floor + error + 0.002 * normalDraw(seed, 1, 2 * i + 1);
    return `${new Date(Date.UTC(2026, 0, 1) + 1000 * time[i]).toISOString().slice(0, 16).replace("T", " ")},${(100 * Math.max(0, over)).toFixed(1)}`;
  });
  return { logger: `time,depth [cm]\n${rows.join("\n")}`, rain: { rain, start: "2026-01-01T00:00:00" } };
}

function seconds(work) {
  const [before, start] = [process.cpuUsage(), performance.now()];
  const made = work();
  const { user, system } = process.cpuUsage(before);
  return { made, cpu: ((user + system) / 1e6).toFixed(1), wall: ((performance.now() - start) / 1000).toFixed(1) };
}

function times() {
  const site = siteOf("copperbeech-lane");
  for (const days of [29, 60, 200]) for (const seed of [11, 12, 13]) {
    const given = logged(site, days, seed, { soil: Math.log(0.4) }, null);
    const { made, cpu, wall } = seconds(() => season(site, given));
    const { value, band } = made.numbers.find(({ name }) => name === "soil");
    console.log(`${days} days, ${made.storms} storms: soil ${figure(value)} (${figure(band.low)} to ${figure(band.high)}), change ${made.change?.kind ?? "none"}; ${cpu} s of a core, ${wall} s by the clock`);
  }
}

function changes(count, first) {
  const sites = ["linden-row", "copperbeech-lane", "juniper-yard", "hazelbank-upper-bench"].map(siteOf);
  const tally = { none: 0, falseAlarms: 0, planted: 0, found: 0, kind: 0, rival: 0, day: 0, size: 0, soil: 0 };
  for (let i = first; i < first + count; i++) {
    const draw = (which) => uniformDraw(91, i, which);
    const kind = ["none", "step", "trend"][i % 3];
    const days = [90, 140, 200][Math.floor(i / 3) % 3];
    const at = (0.25 + 0.5 * draw(1)) * days * DAY;
    const size = kind === "step" ? (draw(2) < 0.5 ? -1 : 1) * Math.log(1.8 + 1.2 * draw(3)) : -1.5 - 2.5 * draw(3);
    const soil = Math.log(0.3) + Math.log(6) * draw(4);
    const given = logged(sites[i % sites.length], days, 500 + i, { soil, change: size }, kind === "none" ? null : { kind, at });
    const { made, cpu } = seconds(() => season(sites[i % sites.length], given));
    const { change, rival, numbers } = made;
    const inSoil = numbers.find(({ name }) => name === "soil");
    const holds = Math.log(inSoil.band.low) <= soil && soil <= Math.log(inSoil.band.high);
    if (holds) tally.soil++;
    if (kind === "none") {
      tally.none++;
      if (change !== null) tally.falseAlarms++;
    } else {
      tally.planted++;
      if (change !== null) tally.found++;
      // in the likelier one, or in the other of the two
      const of = [change, rival].find((each) => each?.kind === kind);
      if (change?.kind === kind) tally.kind++;
      else if (of !== undefined) tally.rival++;
      if (of !== undefined) {
        if (of.band[0] <= at && at <= of.band[1]) tally.day++;
        const band = seasonBand(of.fit, "change");
        if (band.low <= size && size <= band.high) tally.size++;
      }
    }
    const words = (each) => {
      if (each === null) return "nothing";
      const { value, low, high } = seasonBand(each.fit, "change");
      return `${each.kind} on day ${Math.round(each.at / DAY)} (${each.band.map((moment) => Math.round(moment / DAY)).join(" to ")}), ${[value, low, high].map((ln) => figure(Math.exp(ln))).join(" ")}, gain ${each.gain.toFixed(0)}`;
    };
    console.log(`${i}: ${days} days, ${made.storms} storms, ${kind === "none" ? "no change" : `${kind} of ${figure(Math.exp(size))} on day ${Math.round(at / DAY)}`}: ${words(change)}${rival === null ? "" : `, or ${words(rival)}`}; soil ${figure(Math.exp(soil))}: ${figure(inSoil.value)} (${figure(inSoil.band.low)} to ${figure(inSoil.band.high)})${holds ? "" : " missed"}; ${cpu} s`);
    if ((i + 1 - first) % 15 === 0 || i + 1 === first + count) console.log(JSON.stringify(tally));
  }
}

const [what = "times", count = "60", first = "0"] = process.argv.slice(2);
if (what === "changes") changes(Number(count), Number(first));
else times();
