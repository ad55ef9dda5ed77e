import { describe, expect, test } from "vitest";
import { annualMaxima as yearlyMaxima, greatestDepth } from "../../lib/rain/storms/greatestDepth.ts";
import { cumulativeDepth } from "../../lib/rain/cumulativeDepth.ts";
import { gumbelFit } from "../../lib/rain/storms/gumbelFit.ts";
import { rainBetween } from "../../lib/rain/rainBetween.ts";
import { hyetograph, type Hyetograph } from "../../lib/rain/hyetograph.ts";
import { placeRain, type PlaceRainOptions } from "../../lib/rain/storms/placeRain.ts";
import { rainFrequency, type RainFrequency } from "../../lib/rain/storms/rainFrequency.ts";
import { stormEvents } from "../../lib/rain/stormEvents.ts";
import { climateOf } from "../../lib/rain/storms/stochasticRain.ts";
import { simulateRecord } from "../../lib/simulate/simulateRecord.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { uniformDraw } from "../../lib/numerics/draw.ts";
import { YEAR } from "../../lib/text/unitTable.ts";
import { shareOf } from "../share.ts";

/**
 * Years of invented rain against the table they are made from. For every place 1000 years of each of thirty seeds (of three, where a
 * tenth is asked): the depths that come once in 2, 10 and 50 years among the annual maxima, which slide over the whole year, lie in the
 * simultaneous 95 percent band of the table's own distribution: that of 1000 samples of 1000 years drawn from it, all durations and
 * return periods of a place together. Then the bias of all seeds together (of ten alone it scatters by 1 to
 * 1.5 percent at 50 years), storms a year, yearly depth and storms' duration.
 */

type Place = Omit<PlaceRainOptions, "years" | "seed">;

const PLACES: Readonly<Record<string, Place>> = {
  // US National Weather Service, NOAA Atlas 14 Volume 11 Version 2, partial duration, a town in Texas (32.87 N, 96.97 W), read June 2026 in
  // a stored copy of the server's CSV; the averages of its storms are invented
  "a US town": {
    stormsPerYear: 55, meanDepth: "17 mm", meanDuration: "7 h",
    rainfall: {
      unit: "in", series: "partial-duration", returnPeriods: ["1 year", "2 year", "5 year", "10 year", "25 year", "50 year", "100 year"],
      rows: {
        "5 min": [0.421, 0.489, 0.601, 0.693, 0.818, 0.912, 1.01], "10 min": [0.674, 0.783, 0.964, 1.11, 1.31, 1.47, 1.62],
        "15 min": [0.84, 0.975, 1.2, 1.38, 1.63, 1.82, 2], "30 min": [1.17, 1.35, 1.66, 1.91, 2.25, 2.5, 2.76],
        "60 min": [1.52, 1.76, 2.17, 2.5, 2.95, 3.29, 3.63], "2 h": [1.85, 2.18, 2.7, 3.14, 3.76, 4.23, 4.71],
        "3 h": [2.05, 2.43, 3.03, 3.55, 4.27, 4.83, 5.42], "6 h": [2.41, 2.89, 3.63, 4.27, 5.18, 5.91, 6.68],
        "12 h": [2.82, 3.39, 4.28, 5.05, 6.14, 7.01, 7.93], "24 h": [3.29, 3.95, 5, 5.89, 7.17, 8.19, 9.27],
      },
    },
  },
  // M5-60 and r of the demo site in metres; averages invented
  "a UK place": { stormsPerYear: 150, meanDepth: "4.6 mm", meanDuration: "4 h", rainfall: { m5_60: "20 mm", r: 0.4 } },
  // invented
  "a maritime place of low intensity": {
    stormsPerYear: 190, meanDepth: "8 mm", meanDuration: "9 h",
    rainfall: {
      unit: "mm", series: "annual-maximum", returnPeriods: ["2 year", "10 year", "50 year", "100 year"],
      rows: {
        "5 min": [2.6, 4, 5.4, 6.1], "15 min": [4.9, 7.4, 9.8, 11], "30 min": [7, 10.3, 13.6, 15.2], "60 min": [10, 14.3, 18.6, 20.8],
        "2 h": [14.6, 20.4, 26, 28.8], "6 h": [27, 36, 45, 49], "12 h": [39, 51, 62, 67], "24 h": [54, 70, 85, 92],
      },
    },
  },
};

/** Uccle, 1938 to 1972: the year's largest of three durations, mm; dataset uccle of R's package evd (Debian r-cran-evd 2.3-6.1-1). */
const UCCLE = {
  day: [
    33.8, 27.7, 60, 24, 72.3, 50.7, 18.7, 41.2, 26.6, 27.2, 23.8, 19.8, 34.3, 28.2, 51.1, 37.5, 34.3, 22.2, 35.6, 34.2, 24.3, 20.3,
    48, 32.4, 59.6, 60.4, 27, 45.8, 39.8, 21.6, 19.7, 54.4, 29.1, 41.6, 26,
  ],
  hour: [
    14, 12.8, 12.9, 11.9, 20.6, 29.1, 6.2, 21.1, 11.2, 18, 15.6, 8.7, 23.8, 12.2, 29, 9.9, 12.5, 9.6, 18.8, 12, 12, 11.6, 15.3,
    19.2, 42.8, 13, 15.7, 15.4, 14.3, 13.1, 14.9, 25.8, 17.1, 21.2, 16.3,
  ],
  tenMinutes: [
    6.5, 8.5, 5, 8.4, 13.2, 11.9, 3.8, 13, 11.1, 13, 6.5, 5.7, 13.3, 12.2, 8.4, 5, 6.9, 6.2, 8.5, 9.8, 5.5, 9.8, 9.5, 11.5,
    12.7, 9, 13, 12.2, 9.5, 11.9, 8.3, 15.3, 13.8, 7, 8.7,
  ],
};

const YEARS = 1000;
const PERIODS = [2, 10, 50];
const SAMPLES = 1000;
const SEEDS = shareOf(30);

describe.each(Object.entries(PLACES))("%s", (name, place) => {
  const rain = rainFrequency(place.rainfall)!;
  const { durations } = rain;
  const records = Array.from({ length: SEEDS }, (_, s) => {
    const record = placeRain({ ...place, years: YEARS, seed: s + 1 });
    const storms = stormEvents(record, 6 * 3600);
    return {
      levels: levelsOf(annualMaxima(record, durations)),
      storms: storms.length / YEARS,
      depth: record.depth.reduce((sum, each) => sum + each, 0) / YEARS,
      lasts: storms.reduce((sum, { start, end }) => sum + end - start, 0) / storms.length,
    };
  });
  const truth = durations.map((_, k) => PERIODS.map((period) => rain.depth(k, -Math.log1p(-1 / period), place.stormsPerYear)));

  const band = bandOf(rain, place.stormsPerYear);

  test("annual maxima lie in the simultaneous 95 percent band of the table's own distribution", () => {
    const { errors, reach } = band;
    const worst = records.map(({ levels }) => Math.max(...levels.flatMap((row, k) => row.map((level, t) => (
      Math.abs(Math.log(level / truth[k]![t]!)) / errors[k]![t]!)))));
    console.log(`${name}: band ${reach.toFixed(2)} standard errors; worst of each seed ${worst.map((each) => each.toFixed(2)).join(" ")}`);
    expect(worst[0]!).toBeLessThan(reach);
    // one seed in twenty may lie outside: of thirty, six or more do once in 300 times
    expect(worst.filter((each) => each > reach).length).toBeLessThan(6);
  });

  test("all seeds together are within 3 percent of the table at every duration and return period", () => {
    const bias = durations.map((_, k) => PERIODS.map((__, t) => (
      records.reduce((sum, { levels }) => sum + levels[k]![t]!, 0) / SEEDS / truth[k]![t]! - 1)));
    const percents = (row: readonly number[]): string => row.map((each) => `${(100 * each).toFixed(2)} %`).join(" ");
    console.log(durations.map((duration, k) => `${name}: ${duration / 60} min: ${percents(bias[k]!)}`).join("\n"));
    // at 50 years a single seed scatters by 3 to 5 percent, so that few seeds tell of it nothing to 3
    const told = SEEDS === 30 ? PERIODS.length : PERIODS.length - 1;
    for (const row of bias) for (const each of row.slice(0, told)) expect(Math.abs(each)).toBeLessThan(0.03);
  });

  test("storms a year and yearly depth are the place's within 2 percent, and so is the storms' duration within 5", () => {
    const mean = (of: (record: (typeof records)[number]) => number): number => records.reduce((sum, each) => sum + of(each), 0) / SEEDS;
    const [storms, depth, lasts] = [mean((each) => each.storms), mean((each) => each.depth), mean((each) => each.lasts)];
    console.log(`${name}: ${storms.toFixed(2)} storms a year, ${(1000 * depth).toFixed(0)} mm a year, storms of ${(lasts / 3600).toFixed(2)} h`);
    expect(Math.abs(storms / place.stormsPerYear - 1)).toBeLessThan(0.02);
    expect(Math.abs(depth / (place.stormsPerYear * Number.parseFloat(place.meanDepth) * 0.001) - 1)).toBeLessThan(0.02);
    expect(Math.abs(lasts / (Number.parseFloat(place.meanDuration) * 3600) - 1)).toBeLessThan(0.05);
  });
});

test("annual maxima of 10 min, 1 h and 24 h are as dependent as those of a record of 35 years", () => {
  const { day, hour, tenMinutes } = UCCLE;
  const maxima = annualMaxima(placeRain({ ...PLACES["a UK place"]!, years: YEARS, seed: 1 }), [600, 3600, 86400]);
  const pairs = [["10 min, 1 h", 0, 1, tenMinutes, hour], ["1 h, 24 h", 1, 2, hour, day], ["10 min, 24 h", 0, 2, tenMinutes, day]] as const;
  for (const [name, a, b, x, y] of pairs) {
    const within = (values: readonly number[], i: number): readonly number[] => values.slice(35 * i, 35 * i + 35);
    const ofYears = Array.from({ length: 28 }, (_, i) => kendall(within(maxima[a]!, i), within(maxima[b]!, i)))
      .sort((p, q) => p - q);
    const taus = [kendall(maxima[a]!, maxima[b]!), ofYears[1]!, ofYears[26]!, kendall(x, y)];
    const [all, low, high, record] = taus.map((each) => each.toFixed(2));
    console.log(`${name}: tau ${all!}, of 35 years ${low!} to ${high!}; record ${record!}`);
    // nine in ten records of 35 years lie between
    expect(kendall(x, y)).toBeGreaterThan(ofYears[1]!);
    expect(kendall(x, y)).toBeLessThan(ofYears[26]!);
  }
});

test("the year's largest of 1 h and 24 h fall in one storm in as many years as the record's tau tells", () => {
  // For annual maxima of a max-stable process the share of years in which both fall in one storm is Kendall's tau between them (Dombry,
  // Ribatet & Stoev, J. American Statistical Association 113, 2018, from memory). The 35 maxima of Uccle bear no dates, so that its share
  // is told by its tau, and the 90 percent band of that by resampling of its years.
  const years = Array.from({ length: 35 }, (_, i) => i);
  const taus = Array.from({ length: 1000 }, (_, r) => {
    const drawn = years.map((y) => Math.floor(uniformDraw(35, r, y) * 35));
    return kendall(drawn.map((y) => UCCLE.hour[y]!), drawn.map((y) => UCCLE.day[y]!));
  }).sort((a, b) => a - b);
  const rain = placeRain({ ...PLACES["a UK place"]!, years: YEARS, seed: 1 });
  const storms = stormEvents(rain, 6 * 3600);
  let both = 0;
  let next = 0;
  for (let year = 0; year < YEARS; year++) {
    const of = rainBetween(rain, year * YEAR, (year + 1) * YEAR);
    const [hour, day] = [3600, 86400].map((duration) => year * YEAR + greatestDepth(of, duration).start);
    // the storm that the middle of the hour lies in; the richest day holds some of it, or lies elsewhere
    while (storms[next]!.end < hour! + 1800) next++;
    if (day! < storms[next]!.end && day! + 86400 > storms[next]!.start) both++;
  }
  const share = both / YEARS;
  const [low, high] = [taus[50]!, taus[949]!];
  console.log(`1 h and 24 h in one storm in ${(100 * share).toFixed(0)} of 100 years; the record's tau is ${kendall(UCCLE.hour, UCCLE.day).toFixed(2)}, ${low.toFixed(2)} to ${high.toFixed(2)}`);
  expect(share).toBeGreaterThan(low);
  expect(share).toBeLessThan(high);
});

test("a lid opens as often in years made of a record's statistics as in the record", () => {
  // The records are of another law than the years: clusters of rectangular pulses (Rodriguez-Iturbe, Cox & Isham, Proc. R. Soc. Lond. A
  // 410, 1987): 80 clusters a year of 1 + Poisson(3) pulses, exponential with means of 2 h after the cluster's start, 25 min, 6 mm/h.
  const years = 10;
  const clusters = (seed: number): Hyetograph => {
    let drawn = 0;
    const exponential = (mean: number): number => -mean * Math.log(uniformDraw(seed, drawn++, 0));
    const changes: (readonly [time: number, intensity: number])[] = [];
    for (let start = exponential(YEAR / 80); start < years * YEAR; start += exponential(YEAR / 80)) {
      for (let left = 3; left >= 0; left -= exponential(1)) {
        const from = start + exponential(2 * 3600);
        const [until, intensity] = [from + exponential(25 * 60), exponential(0.006 / 3600)];
        changes.push([from, intensity], [until, -intensity]);
      }
    }
    changes.sort(([a], [b]) => a - b);
    const [time, depth] = [[0], [] as number[]];
    let [intensity, pulses] = [0, 0];
    for (const [at, change] of [...changes.filter(([each]) => each < years * YEAR), [years * YEAR, 0] as const]) {
      if (at > time.at(-1)!) {
        depth.push(pulses === 0 ? 0 : intensity * (at - time.at(-1)!));
        time.push(at);
      }
      intensity += change;
      pulses += Math.sign(change);
    }
    return hyetograph({ time, depth });
  };
  const site = readSite({
    name: "made up by a test", catchments: [{ name: "roof", area: "200 m^2", runoffCoefficient: 0.95, timeOfConcentration: "5 min" }],
    settlingBox: {
      length: "0.8 m", width: "0.6 m", floor: "8.6 m", rim: "10.1 m",
      outlet: { diameter: "110 mm", invert: "9.2 m", outletInvert: "9.15 m", length: "5 m" },
    },
    chamberBank: { floor: "8 m", length: "3 m", width: "1.5 m", ground: "10 m", stone: { depth: "1.2 m", porosity: 0.4 } },
    overflowTrench: {
      floor: "8.9 m", length: "6 m", width: "0.5 m", ground: "9.7 m", stone: { depth: "0.45 m", porosity: 0.4 },
      inlet: { diameter: "110 mm", invert: "9.1 m", length: "2 m" },
    },
    emitter: { crest: "9.35 m", diameter: "100 mm", opensAtHead: "12 mm", closesAtHead: "3 mm" },
    soil: { layers: [{ conductivity: "60 mm/h" }] },
  });
  const openings = (rain: Hyetograph): number => simulateRecord(site, rain).storms.filter(({ emitted }) => emitted > 0).length;
  const minutes = [5, 10, 15, 30, 60, 120, 180, 360, 720, 1440];
  const periods = [2, 5, 10, 20, 50];
  const records = shareOf(200);
  const [own, made]: [number[], number[]] = [[], []];
  for (let seed = 1; seed <= records; seed++) {
    const record = clusters(seed);
    const maxima = yearlyMaxima(record, minutes.map((each) => 60 * each), years);
    // fits of ten years each may cross; a longer stretch holds no less
    const least = periods.map(() => 0);
    const rows = Object.fromEntries(minutes.map((each, k) => {
      const fit = gumbelFit({ unit: "m", maxima: maxima[k]!, method: "l-moments" });
      return [`${each} min`, periods.map((period, i) => (least[i] = Math.max(least[i]!, fit.depth(period))))];
    }));
    own.push(openings(record));
    made.push(openings(placeRain({
      ...climateOf(record), years, seed,
      rainfall: { unit: "m", series: "annual-maximum", returnPeriods: periods.map((period) => `${period} year`), rows },
    })));
  }
  const sum = (values: readonly number[]): number => values.reduce((all, each) => all + each, 0);
  const [a, b] = [sum(own), sum(made)];
  const inside = own.filter((each, i) => Math.abs(each - made[i]!) <= 1.96 * Math.sqrt(each + made[i]!)).length;
  console.log(`${records} records of ${years} years: ${(a / records / years).toFixed(2)} openings a year, ${(b / records / years).toFixed(2)} in years made of their `
    + `statistics; ${inside} of ${records} within the 95 percent band of two Poisson numbers`);
  expect(a / records / years).toBeGreaterThan(5);
  // all records together, and each by itself: ten years' maxima tell the place's table no better than to a tenth, which the band leaves out
  expect(Math.abs(a - b)).toBeLessThan(1.96 * Math.sqrt(a + b));
  expect(inside).toBeGreaterThan(0.8 * records);
});

/** Kendall's tau, ties counted as half. */
function kendall(x: readonly number[], y: readonly number[]): number {
  let sum = 0;
  let [xs, ys] = [0, 0];
  for (let i = 0; i < x.length; i++) {
    for (let j = 0; j < i; j++) {
      sum += Math.sign((x[i]! - x[j]!) * (y[i]! - y[j]!));
      xs += Number(x[i] !== x[j]);
      ys += Number(y[i] !== y[j]);
    }
  }
  return sum / Math.sqrt(xs * ys);
}

/** The largest of each year at each duration, in any stretch that ends in it. */
function annualMaxima(record: Hyetograph, durations: readonly number[]): number[][] {
  const maxima = durations.map(() => new Array<number>(YEARS).fill(0));
  const fallen = cumulativeDepth(record);
  durations.forEach((duration, k) => {
    for (const side of [0, 1]) {
      let j = 0;
      for (let i = 0; i < record.time.length; i++) {
        const other = record.time[i]! + (side === 0 ? -duration : duration);
        while (j + 1 < record.time.length && record.time[j + 1]! <= other) j++;
        const by = other <= 0 ? 0 : j + 1 === record.time.length ? fallen[j]!
          : fallen[j]! + (record.depth[j]! * (other - record.time[j]!)) / (record.time[j + 1]! - record.time[j]!);
        const year = Math.min(YEARS - 1, Math.floor(Math.max(other, record.time[i]!) / YEAR));
        maxima[k]![year] = Math.max(maxima[k]![year]!, Math.abs(fallen[i]! - by));
      }
    }
  });
  return maxima;
}

/** The depth passed in one of T years: between the two of that place. */
function levelsOf(maxima: readonly (readonly number[])[]): number[][] {
  return maxima.map((values) => {
    const rising = Float64Array.from(values).sort();
    return PERIODS.map((period) => {
      const at = (1 - 1 / period) * (rising.length + 1) - 1;
      const low = Math.floor(at);
      return rising[low]! + (at - low) * (rising[low + 1]! - rising[low]!);
    });
  });
}

/** Of samples of the table's own distribution: the standard error of each level in logarithm, and the largest in 95 of 100 samples. */
function bandOf(rain: RainFrequency, most: number): { readonly errors: number[][]; readonly reach: number } {
  const logDepth = (k: number, share: number): number => Math.log(rain.depth(k, Math.min(most * 0.99, -Math.log(share)), most));
  const tables = rain.durations.map((_, k) => Array.from({ length: 4000 }, (__, i) => logDepth(k, (i + 0.5) / 4000)));
  const off: number[][][] = [];
  const truth = rain.durations.map((_, k) => PERIODS.map((period) => logDepth(k, 1 - 1 / period)));
  for (let sample = 0; sample < SAMPLES; sample++) {
    off.push(rain.durations.map((_, k) => {
      // levels of the largest of each year are levels of uniform numbers, through the distribution
      const uniform = Float64Array.from({ length: YEARS }, (_, y) => uniformDraw(1000 + sample, y, k)).sort();
      return PERIODS.map((period, t) => {
        const at = (1 - 1 / period) * (YEARS + 1) - 1;
        const low = Math.floor(at);
        const share = uniform[low]! + (at - low) * (uniform[low + 1]! - uniform[low]!);
        return tables[k]![Math.min(3999, Math.floor(share * 4000))]! - truth[k]![t]!;
      });
    }));
  }
  const errors = rain.durations.map((_, k) => PERIODS.map((__, t) => (
    Math.sqrt(off.reduce((sum, each) => sum + each[k]![t]! ** 2, 0) / SAMPLES))));
  const largest = off.map((rows) => Math.max(...rows.flatMap((row, k) => row.map((each, t) => Math.abs(each) / errors[k]![t]!))))
    .sort((a, b) => a - b);
  return { errors, reach: largest[Math.ceil(0.95 * SAMPLES) - 1]! };
}
