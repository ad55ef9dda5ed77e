import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { newKernel, StepFailure, type Kernel } from "../../lib/simulate/kernel.ts";
import { begin, driving, marched, marchOn, setOut, type Outset } from "../../lib/simulate/march.ts";
import { LAW } from "../../lib/simulate/network.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { levelAt } from "../../lib/works/storageTable.ts";
import { run, segmentsOf, worksOf } from "../kernel/vessels.ts";
import { referenceRuns } from "../simulate/referenceRuns.ts";
import { changedKernel } from "../tools/compileKernel.mjs";

// Each device of the stepper is switched off in a kernel that is compiled for it alone: a number that is below its limit as the kernel
// is must be above it without the device. So none stays in the kernel that does nothing.
//
// PATIENCE is shown by `tests/simulate/keptCases.test.ts`. Not shown, for switching them off moved the trials of 143 runs by less than a
// twentieth and no answer beyond the tolerance: the last two steps before a stop of one length, NEAREST, SHORTEST_CUT, the 1e-9 by which a
// last step may be too long, the wish of a step after a cut, the twentieth of a step tried after an event, the fifth after an error that
// is no number, the slope in time of a pump that fades. Digits hang on them.

type Change = readonly [from: string, to: string, file?: string];

interface Device {
  readonly name: string;
  readonly off: readonly Change[];
  /** what gets worse without it, in words and in numbers; a run that stops is Infinity */
  readonly shows: string;
  readonly measure: (kernel: Kernel) => number;
  readonly limit: number;
}

const FIXTURES = "tests/simulate/fixtures";
const read = (file: string): Record<string, never> => JSON.parse(readFileSync(file, "utf8")) as Record<string, never>;

// ---- runs

interface RandomSite {
  readonly site: object;
  readonly load: Readonly<Record<string, { readonly time: number[]; readonly flow: number[] }>>;
}

const references = ["reference-runs.json", "reference-runs-options.json"].flatMap(referenceRuns);

/** A run by its name: of the reference runs, of the sites kept because they once went wrong, or of random ones that are hard to step. */
function outsetOf(name: string, tolerance?: number): Outset {
  const options = tolerance === undefined ? {} : { tolerance };
  const reference = references.find(({ id }) => id === name);
  if (reference !== undefined) return setOut(reference.site, reference.load, { until: reference.until, ...options });
  if (name.startsWith("site ")) {
    const { site, load } = read("tests/prove/fixtures/hard-to-step.json")[name]! as RandomSite;
    const inflows = Object.fromEntries(Object.entries(load).map(([body, points]) => [body, hydrograph(points)]));
    return setOut(readSite(site), inflows, { until: "24 h", ...options });
  }
  const storm = designStorm({ pattern: "block", depth: "60 mm", duration: "1 h" });
  return setOut(readSite(read(`${FIXTURES}/kept/${name}.json`)), storm, { until: "48 h", ...options });
}

function march(kernel: Kernel, outset: Outset): Float64Array[] {
  const rows: Float64Array[] = [];
  const line = driving(outset);
  begin(kernel, outset, line);
  const width = 1 + 3 * outset.start.length;
  marchOn(kernel, line, 0, line.corners.length - 1, ({ numbers, count }) => {
    for (let row = 0; row < count; row++) rows.push(numbers.slice(row * width, (row + 1) * width));
  });
  return rows;
}

const asIs = newKernel();

/** What a run costs, against what it costs the kernel as it is. */
const cost = (of: (work: Kernel["work"]) => number) => (name: string) => (kernel: Kernel): number => {
  const [without, before] = [kernel, asIs].map((each) => {
    march(each, outsetOf(name));
    return of(each.work);
  }) as [number, number];
  return without / before;
};
const trials = cost(({ steps, rejections }) => steps + rejections);
const refusals = cost(({ rejections }) => rejections);

/** The most by which a level at the end of a step is off a far finer run, half a second round a move of the lid left out [mm]. */
const levelError = (name: string) => (kernel: Kernel): number => {
  const { site, load, until } = references.find(({ id }) => id === name)!;
  const outset = outsetOf(name);
  const fine = simulate(site, load, { until, tolerance: 1e-9 });
  const rows = march(kernel, outset);
  const moves = [...fine.firings, ...kernel.firings()].flatMap(({ start, end }) => [start, end ?? Infinity]);
  const apart = rows.filter(([time]) => !moves.some((move) => Math.abs(move - time!) < 0.5));
  return Math.max(...apart.flatMap((row) => outset.network.bodies.map(({ name: body, storage }, b) => (
    1000 * Math.abs(levelAt(storage, row[1 + 3 * b]!) - fine.level(body, row[0]!))))));
};

/** The most by which a move of the lid is off the same [s]. */
const switchError = (name: string) => (kernel: Kernel): number => {
  const { site, load, until } = references.find(({ id }) => id === name)!;
  const fine = simulate(site, load, { until, tolerance: 1e-9 });
  march(kernel, outsetOf(name));
  const ours = kernel.firings();
  if (ours.length !== fine.firings.length) return Infinity;
  return Math.max(...fine.firings.flatMap(({ start, end }, i) => (
    [Math.abs(ours[i]!.start - start), end === null ? 0 : Math.abs(ours[i]!.end! - end)])));
};

/** The most water that a body lacks at the end of a step to be empty [m3], at the coarsest tolerances. */
const lacking = (name: string) => (kernel: Kernel): number => {
  const outset = outsetOf(name, 2e-3);
  return Math.max(...march(kernel, outset).flatMap((row) => outset.network.bodies.map((_, b) => -row[1 + 3 * b]!)));
};

/** How far a box falls below its outlet's crest [m], at the coarsest tolerances. */
const belowCrest = (name: string) => (kernel: Kernel): number => {
  const outset = outsetOf(name, 2e-3);
  return Math.max(...march(kernel, outset).flatMap((row) => outset.network.bodies.map(({ kind, start, storage }, b) => (
    kind === "box" ? start(-Infinity) - levelAt(storage, row[1 + 3 * b]!) : 0))));
};

/** 0 where every digit of every step, sum and peak is that of the kernel as it is. */
const otherDigits = (...names: string[]) => (kernel: Kernel): number => {
  for (const name of names) {
    const outset = outsetOf(name);
    const [ours, others] = [asIs, kernel].map((each) => JSON.stringify([march(each, outset).map((row) => [...row]), marched(each)]));
    if (ours !== others) return 1;
  }
  return 0;
};

// ---- vessels of which the answer is known

const rim = worksOf({ bodies: [{ area: 1, corners: [1] }], passages: [{ law: LAW.weir, from: 0, row: [1, 8] }] });
/** h' = -8 h^1.5 over a rim at 1, from 1.005 */
const rimError = (kernel: Kernel): number => (
  Math.max(...run(kernel, rim, segmentsOf([[0, 15_000, [0, 0]]]), [1.005], 1e-6)
    .map((step) => Math.abs(step.at(1) - 1 - (0.005 ** -0.5 + 4 * step.until) ** -2))));

/** A vessel that fills until water runs over an edge at 0.5, which is no corner that the kernel knows. */
const unseenEdgeError = (kernel: Kernel): number => {
  const works = worksOf({ bodies: [{ area: 1 }], passages: [{ law: LAW.cover, from: 0, row: [0.5, 3] }] });
  const level = (t: number): number => (t < 0.5 ? t : 0.5 + (1 - Math.exp(-3 * (t - 0.5))) / 3);
  return Math.max(...run(kernel, works, segmentsOf([[0, 3, [1, 0]]]), [0], 1e-6).map(({ until, at }) => Math.abs(at(1) - level(until))));
};

/** An emitter that passes next to nothing: the water is a parabola, of which the dense output is exact, in one step after a long rest. */
const still = worksOf({
  bodies: [{ area: 1 }], passages: [{ law: LAW.emitter, from: 0, row: [25.9, 1e-9, 1e-9] }], lid: { opensAtHead: 0.1, closesAtHead: 0.05 },
});
const parabola = (top: number) => segmentsOf([[-1000, 0, [0, 0]], [0, 100, [top / 500, -1 / 500]]]);

/** How often a second over the opening head, on a parabola that tops at each of these times, is not seen within the step. */
const missedOpenings = (...tops: number[]) => (kernel: Kernel): number => tops.filter((top) => {
  run(kernel, still, parabola(top), [26.001 - top ** 2 / 1000], 1e3);
  return Math.abs((kernel.firings()[0]?.start ?? Infinity) - (top - 1)) > 0.1;
}).length;

/** The highest water of the parabola, inside its step, against the law of it [m]. */
const topError = (kernel: Kernel): number => {
  run(kernel, still, parabola(50), [20], 1e3);
  return Math.abs(kernel.tops()[0]!.volume - 22.5);
};

/** The greatest flow of a lid that is open all the while, against that at the parabola's top, as a share of it. */
const peakFlowError = (kernel: Kernel): number => {
  kernel.load(still);
  kernel.start({ time: -1000, states: [26], tolerance: 1e3, lidOpen: true });
  kernel.march(parabola(50));
  return Math.abs(1 - kernel.firings()[0]!.peakFlow / (1e-9 * Math.sqrt(2.6)));
};

/** A lid that would shut again within tenths of a second: the least time between two moves, below a second [s]. */
const restMissing = (kernel: Kernel): number => {
  const works = worksOf({
    bodies: [{ area: 0.01 }], passages: [{ law: LAW.emitter, from: 0, row: [0.5, 1, 1] }], lid: { opensAtHead: 0.012, closesAtHead: 0.003 },
  });
  run(kernel, works, segmentsOf([[0, 600, [1e-4, 0]]]), [0], 1e-6);
  const moves = kernel.firings().flatMap(({ start, end }) => (end === null ? [start] : [start, end]));
  return 1 - Math.min(...moves.slice(1).map((time, i) => time - moves[i]!));
};

/** Two vessels whose water turns within a long step: what flowed back, against fine steps [m3]. */
const turnedError = (kernel: Kernel): number => {
  const works = worksOf({ bodies: [{ area: 1 }, { area: 1 }], passages: [{ law: LAW.stone, from: 0, to: 1, row: [0, 0.01, 1] }] });
  const back = (tolerance: number): number => {
    run(kernel, works, segmentsOf([[0, 2000, [1e-3, -2e-6], [0, 0]]]), [3, 3], tolerance);
    return kernel.sums().back[0]!;
  };
  return Math.abs(back(1e-3) - back(1e-11));
};

/** Times of which the first and the way to the second do not add up to the second in double precision. */
const [EARLY, LATE] = [0.2778831084704444, 1.7504421230958191];
const overrun = (kernel: Kernel): number => {
  expect(EARLY + (LATE - EARLY)).not.toBe(LATE);
  run(kernel, rim, segmentsOf([[0, EARLY, [0, 0]], [EARLY, LATE, [0, 0]]]), [0.5], 1e-6);
  return kernel.time === LATE ? 0 : Infinity;
};

const DEVICES: readonly Device[] = [
  // what a step is judged by
  {
    name: "the embedded error", off: [["    error = larger(error, k6, s);\n", "", "rodas4p2.ts"]],
    shows: "the error over an edge that is no corner [m3]", measure: unseenEdgeError, limit: 1e-6,
  },
  {
    name: "the defect at the step's end", off: [["for (let s = states(); s != end; s = s.next) error = larger(error, s.x, s);", "", "rodas4p2.ts"]],
    shows: "the error of water that falls to a rim [m3]", measure: rimError, limit: 5e-8,
  },
  {
    name: "the defect's filter",
    off: [["  solve();\n  for (let s = states(); s != end; s = s.next) error = larger(error, s.x, s);",
      "  for (let s = states(); s != end; s = s.next) error = larger(error, s.x * gamma * h, s);", "rodas4p2.ts"]],
    shows: "refusals", measure: refusals("site 4"), limit: 1.5,
  },
  {
    name: "errors weighed by what a metre of level holds where a body stands",
    off: [["{ this.scale = min<f64>(this.mostScale, 1.0 / this.levelSlope); }", "{ this.scale = this.mostScale; }", "body.ts"]],
    shows: "error of a level [mm]", measure: levelError("bench-pump-lid"), limit: 0.3,
  },
  {
    name: "the largest body's scale as the most",
    off: [["min<f64>(this.mostScale, 1.0 / this.levelSlope)", "1.0 / this.levelSlope", "body.ts"]],
    shows: "refusals", measure: refusals("site 4"), limit: 1.3,
  },
  {
    name: "the refusal of water below nothing", off: [["!(s.end >= s.lowest) || ", "", "rodas4p2.ts"]],
    shows: "what an empty body lacks [m3]", measure: lacking("groundwater-lifts-the-lid"), limit: 1e-4,
  },
  {
    name: "the refusal of a box below its crest", off: [[" || (s.end < s.keeps && s.end < s.value)", "", "rodas4p2.ts"]],
    shows: "how far below [m]", measure: belowCrest("mound-sand"), limit: 1e-4,
  },
  // how long the next step is
  {
    name: "the trend of the errors", off: [["if (freeLength == 0) return", "return"]],
    shows: "refusals", measure: refusals("site 4"), limit: 1.5,
  },
  {
    name: "the trend's least error", off: [["max<f64>(freeRoot, 0.31622776601683794)", "freeRoot"]],
    shows: "trials", measure: trials("winter-table"), limit: 1.2,
  },
  {
    name: "no growth after a refusal", off: [["afterRefusal ? 1 : 4", "4"]],
    shows: "refusals", measure: refusals("site 4"), limit: 1.3,
  },
  {
    name: "the order that two refusals tell", off: [["refusedLength > 0 && refusedError < Infinity ?", "false ?"]],
    shows: "refusals", measure: refusals("site 5"), limit: 1.3,
  },
  {
    name: "a refused step's least shortening", off: [["max<f64>(0.1, min<f64>(0.7, Math", "max<f64>(0.1, min<f64>(1, Math"]],
    shows: "refusals", measure: refusals("mound-sand"), limit: 1.2,
  },
  {
    name: "BEND_SHARE", off: [["if (b.inflowBend > 0) wish", "if (false) wish"]],
    shows: "refusals", measure: refusals("mound-sand"), limit: 2,
  },
  {
    name: "the wish kept over steps cut short", off: [["isFree || cuts > 0 ? next : max<f64>(next, wish)", "next"]],
    shows: "trials", measure: trials("site 4"), limit: 1.1,
  },
  {
    name: "a share of the step after an event", off: [["wish = min<f64>(next, max<f64>(taken, 0.05 * h));", "wish = next;"]],
    shows: "refusals", measure: refusals("site 60"), limit: 1.1,
  },
  {
    name: "the clock set to the stop it reaches", off: [["stop - reached <= 1e-12 * Math.abs(stop) ? stop : reached", "reached"]],
    shows: "the time by which the stop is missed [s]", measure: overrun, limit: 1,
  },
  // corners
  {
    name: "the corner ahead", off: [["corner = timeToCorner(wish, shortest);", "corner: f64 = Infinity;"]],
    shows: "trials", measure: trials("depot-block-1h"), limit: 1.1,
  },
  {
    name: "its prediction by y''", off: [["const square = rate * rate + 2.0 * b.bend * way;", "const square = rate * rate;", "corners.ts"]],
    shows: "trials", measure: trials("site 4"), limit: 1.2,
  },
  {
    name: "its reach of three steps", off: [["Math.abs(rate) * 3.0 * step", "Infinity", "corners.ts"]],
    shows: "trials", measure: trials("hollow-all-but-a-point"), limit: 2,
  },
  {
    name: "BEHIND", off: [["BEHIND: f64 = 1e-5", "BEHIND: f64 = 0", "corners.ts"]],
    shows: "trials", measure: trials("dry-hollow-fed-by-drops"), limit: 1.1,
  },
  {
    name: "OVERSHOOT", off: [["OVERSHOOT: f64 = 0.003", "OVERSHOOT: f64 = 0", "corners.ts"]],
    shows: "refusals", measure: refusals("site 91"), limit: 1.3,
  },
  {
    name: "the corner inside", off: [["cuts < MOST_CUTS ? cornerInside() : 1", "1 as f64"]],
    shows: "refusals", measure: refusals("site 91"), limit: 1.3,
  },
  {
    name: "MOST_CUTS", off: [["MOST_CUTS: i32 = 3", "MOST_CUTS: i32 = 1000000"]],
    shows: "refusals", measure: refusals("site 116"), limit: 1.3,
  },
  {
    name: "LONGEST_CUT", off: [["LONGEST_CUT: f64 = 0.98", "LONGEST_CUT: f64 = 1"]],
    shows: "trials", measure: trials("reaches-slope"), limit: 1.1,
  },
  // the lid, and what is told
  {
    name: "the lid's rest", off: [["LID_REST: f64 = 1;", "LID_REST: f64 = 1e-3;", "lid.ts"]],
    shows: "what is missing of a second between two moves [s]", measure: restMissing, limit: 0.1,
  },
  {
    name: "the secants to the event", off: [["if (i == 4 || ", "if (true || ", "lid.ts"]],
    shows: "error of a switch [s]", measure: switchError("low-point-3in"), limit: 0.5,
  },
  {
    name: "the looks at the middle and the quarters",
    off: [["  if (most + spread < 0) return NEVER;", "  if (last >= 0) return rootBetween(0, first, 1, last);\n  return NEVER;", "lid.ts"]],
    shows: "openings not seen", measure: missedOpenings(25, 50), limit: 0.5,
  },
  {
    name: "the look at the parabola's top", off: [["if (Math.abs(offset) > 0.25) return NEVER;", "return NEVER;", "lid.ts"]],
    shows: "openings not seen", measure: missedOpenings(13, 37, 62, 88), limit: 0.5,
  },
  {
    name: "tops inside a step", off: [["if (c <= 0 || c + q + a >= 0) return;", "return;"]],
    shows: "error of the highest water [m]", measure: topError, limit: 1e-3,
  },
  {
    name: "a firing's peak inside a step", off: [["  for (let quarter = 1; quarter < 4; quarter++) raisePeak(headAt(0.25 * <f64>quarter));\n", "", "lid.ts"]],
    shows: "error of the greatest flow, as a share", measure: peakFlowError, limit: 1e-2,
  },
  {
    name: "the triangle of a flow that turns", off: [["first > 0 == last > 0 || first == 0 || last == 0", "true"]],
    shows: "error of what flowed back [m3]", measure: turnedError, limit: 1e-3,
  },
];

describe("without it", () => {
  test.each(DEVICES)("$name: $shows", ({ off, measure, limit }) => {
    const make = changedKernel(off.map(([from, to, file = "march.ts"]) => ({ file, from, to })));
    const [as, without] = [measure(asIs), measuredOr(measure, newKernel(make))];
    console.log(`${as.toPrecision(3)} -> ${without.toPrecision(3)}`);
    expect(as).toBeLessThan(limit);
    expect(without).toBeGreaterThan(limit);
  });
});

function measuredOr(measure: Device["measure"], kernel: Kernel): number {
  try {
    return measure(kernel);
  } catch (failure) {
    if (failure instanceof StepFailure) return Infinity;
    throw failure;
  }
}

describe("what only saves time changes no digit", () => {
  const some = ["library-4in", "bench-pump-lid", "slits-rooted", "reaches-slope", "groundwater-lifts-the-lid", "site 28"];
  test.each([
    ["edges left out while all water is below them", [["if (b.level >= b.wakes) awake = true;", "awake = true;", "water.ts"]]],
    ["the entrance that governs a pipe, seen by a lower bound of its wetted area",
      [["if (least * least * leastShare(r) <= entrance * entrance * half) {", "{", "laws.ts"]]],
    ["the elimination on a chain", [["if (isChain) for (let i = 0; i + 1 < n", "isChain = false;\n  if (isChain) for (let i = 0; i + 1 < n", "tree.ts"]]],
    ["a lid far from its event", [["  if (most + spread < 0) return NEVER;\n", "", "lid.ts"]]],
  ] as [string, Change[]][])("%s", (_, off) => {
    const make = changedKernel(off.map(([from, to, file = "march.ts"]) => ({ file, from, to })));
    expect(otherDigits(...some)(newKernel(make))).toBe(0);
  });
});
