// Every sentence and every row with a figure on the page of a decision, computed again here from the design the page is about: its sizes
// are written into a site file of their own, which is read and simulated here, beside the plan geometry and the formulas written below.
// A sentence with a figure that no recomputation knows, or that two know, fails. The sites and their rain are invented.
//
// The parts of many runs, how sure, how often, money and variants, are `decideStudies.test.ts`; words in pictures are in neither.
import { describe, expect, test } from "vitest";
import { soilTexture, type SoilTexture, textureNames } from "../../lib/ground/soilTexture.ts";
import { hyetograph, type Hyetograph } from "../../lib/rain/hyetograph.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { fanHalfWidth, sheetFlow, type SheetFlow } from "../../lib/runoff/sheetFlow.ts";
import type { Run } from "../../lib/simulate/run.ts";
import type { SizeOptions } from "../../lib/study/sizeCases.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import {
  asks, both, CHAMBERS, DAY, DEPTHS, type Design, does, dug, emptyAfter, FACTOR, FIGURE, FLOOR, GROUND, headroom, HOUR, LASTS,
  leaves, letOut, type Line, LOT, NO_ROOM, NO_TRENCH, noSpill, own, type Page, pageOf, PIT, pitPeak, rate, reached, type Reached,
  inFeet, ROOF, ROOMY, runOf, SHED, sheds, siteOf, stormOf, STORMS, ten, TO_BOUNDARY, USUAL, WATER, WIDTH,
} from "./decidePages.ts";
import { FIG, says, shows, unlike, type Rule, type Told } from "./decideRules.ts";

const MISSES = { fire: "the emitter does not stay shut in “cloudburst”", spill: "water comes out over a rim or the ground in “10 year, block, any duration”" } as const;
const TEN_YEARS = "“10 year, block, any duration”";

/** The dimensions in the words of a design. */
const DIMENSIONS = String.raw`(\d+) chambers in a pit ${FIG} by ${FIG}, ${FIG} deep(?:, and ${FIG} of trench)?`;
function dimensions([chambers, long, wide, deep, trenchLong]: readonly string[], design: Design): Told[] {
  return [[chambers, design.chambers], [long, design.pit], [wide, WIDTH], [deep, GROUND - FLOOR],
    design.trench === null ? ["no trench", trenchLong === undefined] : [trenchLong, design.trench]];
}

/** The pit of a number of chambers, each with its share of the drawn length, no shorter in whole steps of the tape [m]. */
const pitOf = (chambers: number, step: number): number => step * Math.ceil((chambers * PIT) / CHAMBERS / step - 1e-6);

/** A design by the sizes a table names it by: that of the page whose sizes are shown so. */
function named(words: string, page: Page): Design {
  const [chambers, long, trenchLong] = [/(\d+) chambers/, new RegExp(`a pit ${FIG} long`), new RegExp(`${FIG} of trench`)].map((each) => each.exec(words)?.[1]);
  const isNamed = (design: Design): boolean => (
    (chambers === undefined || design.chambers === Number(chambers)) && (long === undefined || shows(long, design.pit) === null)
      && (trenchLong === undefined || shows(trenchLong, design.trench!) === null));
  return [...page.tried, page.design, page.drawn].find(isNamed)!;
}

const cellsOf = (text: string): string[] => text.split("|").map((cell) => cell.trim());
const byDug = (page: Page): Design[] => [...page.tried].sort((a, b) => dug(page, a) - dug(page, b));

/** The shortest pit, to a step of the tape, that does what is asked with silt over its floor. */
function leastSealed(page: Page): Design {
  let [low, high] = [Math.round(page.design.pit / page.step), Math.floor(8 / page.step)];
  while (high - low > 1) {
    const middle = Math.round((low + high) / 2);
    if (does(page, { ...page.design, pit: middle * page.step }, "sealed")) high = middle;
    else low = middle;
  }
  return { ...page.design, pit: high * page.step };
}

/** Cells of what is asked, under the design that each is of. */
function askedCells(page: Page, { head, text }: Line, asked: number | null): Told[] {
  return cellsOf(text).slice(1).flatMap((cell, i): Told[] => {
    const column = cellsOf(head)[i + 1]!;
    const design = column === "this design" ? page.design : column === "as drawn" ? page.drawn : leastSealed(page);
    if (asked === null) return [[cell, dug(page, design)]];
    return reachedCell(cell, reached(page, design, asked, column.startsWith("larger") ? "sealed" : "open"));
  });
}

function reachedCell(cell: string, { value, met }: Reached): Told[] {
  return [[cell.replace(", misses", ""), value], [cell, cell.endsWith(", misses") === !met]];
}

/** What nothing beats: each digs less or lets less out than any other. */
function front(page: Page): Design[] {
  const isTried = page.tried.some((each) => JSON.stringify(each) === JSON.stringify(page.design));
  const all = [...page.tried, ...(page.isChosen && !isTried ? [page.design] : [])].sort((a, b) => dug(page, a) - dug(page, b));
  return all.filter((design, i) => all.slice(0, i).every((less) => letOut(page, design) < letOut(page, less)));
}

/** A storm by the name that the page gives it. */
const stormOfWords = (words: string): string => words.replace(/^(\d+) year, block, any duration: that of (.+)$/, "$1-year $2");
const askedRuns = (page: Page): Run[] => ["cloudburst", ...ten].map((storm) => own(page, storm));

/** How far the water of a storm stops below what it would come out over. */
const spare = (run: Run): number => Math.min(headroom(run), GROUND - pitPeak(run));

/** The storm of ten years that decides what is asked: the worst, or where nothing comes out in any the nearest to it. */
function decides(page: Page, design: Design, asked: number): string {
  const { value, storm } = reached(page, design, asked);
  if (value > 0) return storm;
  return ten.reduce((worst, each) => (spare(runOf(page, design, each)) < spare(runOf(page, design, worst)) ? each : worst));
}

/** Clear room in chambers and stone, as a rule of thumb counts it. */
function room({ chambers, pit: long, trench: trenchLong }: Design): number {
  const tube = (diameter: number): number => (Math.PI / 4) * diameter ** 2 * 1.1 * chambers;
  return tube(0.75) + 0.4 * (long * WIDTH * 1.4 - tube(0.8)) + 0.4 * (trenchLong ?? 0) * 0.5 * 0.45;
}

/** What the emitter may let out, as the page has it. */
const limitOf = ({ step, limit }: Page): string => (step === 0.01 ? `${limit} m³` : `${Math.round(limit / 0.003785411784)} gal`);

function misses(page: Page, design: Design): string[] {
  const lid = page.limit === 0 ? MISSES.fire : `the emitter lets out more than ${limitOf(page)} in “cloudburst”`;
  const words = page.design.trench === null ? [MISSES.spill] : [lid, "the pit is not empty"];
  return asks(page).filter((c) => !reached(page, design, c).met).map((c) => words[c]!);
}

/** Rain without end of one rate, mm in an hour, for some days. */
const steady = (rate: number, days: number): Hyetograph => hyetograph({ time: [0, days * DAY], depth: [(rate / 1000) * 24 * days] });

/** The moment slow rain brings the works to where water comes out, with nothing soaking away. */
function filled(page: Page): { readonly level: number; readonly rain: number } {
  const run = simulate(siteOf(page, page.design, "nothing soaks"), steady(0.01, 300));
  const over = [...run.times].find((time) => run.level("chamberBank", time) >= GROUND - 1e-6);
  let [low, high] = [0, run.firings[0]?.start ?? over!];
  if (run.firings.length === 0) {
    for (let i = 0; i < 50; i++) {
      const middle = (low + high) / 2;
      if (run.level("chamberBank", middle) < GROUND - 1e-6) low = middle;
      else high = middle;
    }
  }
  return { level: run.level("chamberBank", high), rain: (0.01e-3 * high) / HOUR };
}

function comesOut(page: Page, rate: number): boolean {
  const { emitted, spilled } = simulate(siteOf(page, page.design), steady(rate, 60));
  return emitted + spilled > 1e-4;
}

/** How near pit and trench lie to the boundary of the lot: the pit in its middle, the trench along its west side. */
const toBoundary = ({ pit: long }: Design): readonly [pit: number, trench: number] => (
  [Math.min(LOT.width - long, LOT.depth - WIDTH) / 2, 1 - 0.5 / 2]);
/** The other lot has room for all of them. */
const hasRoom = (page: Page, design: Design): boolean => page.file["surroundings"] !== NO_ROOM["surroundings"] || Math.min(...toBoundary(design)) >= LOT.asked;
const NEAR = String.raw`the pit lies ${FIG} from the boundary, ${FIG} asked \(the town, invented\)(?:;| and) the trench lies ${FIG} from the boundary, ${FIG} asked \(the town, invented\)`;
function near(found: readonly string[], design: Design): Told[] {
  const [pitNear, trenchNear] = toBoundary(design);
  return [[found[0], pitNear], [found[1], LOT.asked], [found[2], trenchNear], [found[3], LOT.asked], ["does not fit", Math.min(...toBoundary(design)) < LOT.asked]];
}

/** The first figure of a range with the unit of its second. */
const withUnit = (low: string, high: string): string => `${low} ${high.split(" ").slice(1).join(" ")}`;
const inMillimetres = (told: string): number => Number(told.split(" ")[0]) * (told.endsWith(" in/h") ? 25.4 : 1);
const inNumber = (word: string): string => (word === "one" ? "1" : word === "none" ? "0" : word);
function kept(run: Run, storm: string): readonly [water: number, peak: number] {
  const [before, after] = [sheds(storm), leaves(run)];
  return [1 - after.volume / before.volume, 1 - after.peak / before.peak];
}

/** The texture whose published rate is nearest to what the top layer takes in, by the rule of design. */
function turfSoil(): { readonly conductivity: number; readonly texture: SoilTexture } {
  const conductivity = rate(0, FACTOR);
  const away = ({ hydraulicConductivity }: SoilTexture): number => Math.abs(Math.log(hydraulicConductivity / conductivity));
  const textures = textureNames().map((name) => soilTexture(name));
  return { conductivity, texture: textures.reduce((nearest, each) => (away(each) < away(nearest) ? each : nearest)) };
}

/** What comes out of the emitter in the cloudburst, followed down a slope of 2 in 100 over 60 m in stretches of half a metre. */
function onTurf(page: Page): SheetFlow {
  const run = own(page, "cloudburst");
  const { conductivity, texture } = turfSoil();
  const [{ start, end, volume }] = run.firings as [Run["firings"][number]];
  const times = [start + 0.01, ...[...run.times].filter((time) => time > start + 0.01 && time < end! - 0.01), end! - 0.01];
  const flows = times.map((time) => run.flow("emitter", time));
  const sum = times.slice(1).reduce((total, time, i) => total + ((flows[i]! + flows[i + 1]!) / 2) * (time - times[i]!), 0);
  const [slope, manningN, flow] = [0.02, 0.24, run.emitted / run.openTime];
  return sheetFlow({
    inflow: hydrograph({
      time: [start, start, ...times.slice(1, -1), end!, end!], flow: [0, ...flows.map((each) => (each * volume) / sum), 0],
    }),
    slope, manningN,
    halfWidth: (distance) => fanHalfWidth({ flow, slope, manningN, distance }), rain: stormOf("cloudburst"), length: 60, stretches: 120,
    soil: {
      hydraulicConductivity: conductivity, wettingFrontSuction: texture.wettingFrontSuction, moistureChange: texture.effectivePorosity / 2,
    },
  });
}

/** What each body measures, each cell in its figures. */
function bodies({ pit: long, trench: trenchLong }: Design): Readonly<Record<string, readonly (readonly number[])[]>> {
  return {
    "settling box": [[0.8], [0.6], [10.1 - 8.6]], "pipe from the settling box": [[5], [0.11], []], pit: [[long], [WIDTH], [GROUND - FLOOR]],
    "stone in the pit": [[long], [WIDTH], [1.4]], chambers: [[0.8], [], [1.1]],
    ...(trenchLong === null ? {} : { "pipe to the trench": [[2], [0.11], []], "overflow trench": [[trenchLong], [0.5], [9.7 - 8.9, 9.7 - 8.8]], emitter: [[0.1], [], []] }),
  };
}

function figuresIn(cell: string, values: readonly number[]): Told[] {
  const told = [...cell.matchAll(new RegExp(FIG, "g"))].map(([figure]) => figure).filter((figure) => / /.test(figure));
  return [[cell, told.length === values.length], ...told.map((each, i): Told => [each, values[i] ?? NaN])];
}

/** The worst of an answer by the duration of the storm, or none. */
function worstCell(cell: string, page: Page, period: string, of: (run: Run, storm: string) => number, sign: 1 | -1 = 1): Told[] {
  const storms = Object.keys(DEPTHS).map((duration) => `${period} ${duration}`);
  const value = (storm: string): number => of(own(page, storm), storm);
  if (cell === "none") return [[cell, storms.every((storm) => !(value(storm) > 0))]];
  const worst = storms.filter((storm) => !Number.isNaN(value(storm)))
    .reduce((most, each) => (sign * value(each) > sign * value(most) ? each : most));
  const [, figure, duration] = /^(.+) \((.+)\)$/.exec(cell)!;
  return [[figure, value(worst)], [duration, worst.slice(period.length + 1)]];
}

const WORST: Readonly<Record<string, readonly [of: (page: Page) => (run: Run, storm: string) => number, sign?: -1]>> = {
  "the pit's highest level": [() => pitPeak], "from the box's water to its rim": [() => headroom, -1], "let out by the emitter": [() => ({ emitted }) => emitted],
  "its greatest flow": [() => ({ firings }) => Math.max(0, ...firings.map(({ peakFlow }) => peakFlow))],
  "it first opens at": [() => ({ firings }) => firings[0]?.start ?? NaN, -1], "comes out over a rim or the ground": [() => ({ spilled }) => spilled],
  "half empty after": [() => ({ drainDown }) => drainDown.half!], "empty after": [(page) => (_, storm) => emptyAfter(page, page.design, storm)],
};

const RULES: readonly Rule[] = [
  // head and design
  {
    words: new RegExp(`^${DIMENSIONS}: the least dug that does what is asked(?: and fits the lot)?, of (\\d+) designs and what lies between their steps\\.$`),
    figures: ([, ...found], page) => [
      ...dimensions(found, page.design), [found[5], page.tried.length],
      ["does what is asked", does(page, page.design)], ["digs least", page.tried.every((each) => !does(page, each) || dug(page, each) >= dug(page, page.design) - 1e-9)],
      ["a centimetre less does not", page.design.trench !== null || !does(page, { ...page.design, pit: page.design.pit - page.step })],
    ],
  },
  { words: new RegExp(`^${DIMENSIONS}$`), figures: ([, ...found], page) => dimensions(found, page.design) },
  {
    words: new RegExp(`^No design tried does what is asked and fits the lot where it is drawn: ${DIMENSIONS} would do what is asked, but the pit lies ${FIG} from the boundary, ${FIG} asked \\(the town, invented\\), and 1 more thing is in the way; none of those tried fits there\\.$`),
    figures: ([, ...found], page) => {
      const least = byDug(page).find((each) => does(page, each))!;
      return [...dimensions(found, least), [found[5], toBoundary(least)[0]], [found[6], LOT.asked], ["none fits", !page.tried.some((each) => hasRoom(page, each))]];
    },
  },
  {
    words: new RegExp(`^${DIMENSIONS} would do what is asked, but not fit: ${NEAR}\\.$`),
    figures: ([, ...found], page) => {
      const least = byDug(page).find((each) => does(page, each))!;
      return [...dimensions(found, least), ...near(found.slice(5), least)];
    },
  },
  {
    words: /^Of (\d+) designs tried (one|none|\d+) do(?:es)? what is asked(?:; whether they fit was not looked at, because the file says nothing of what stands around|, (none|\d+) fits? the lot, and (none|\d+) do(?:es)? both)\.$/,
    figures: ([, tried, doing, fitting, none], page) => [
      [tried, page.tried.length], [inNumber(doing!), page.tried.filter((each) => does(page, each)).length],
      ["whether they fit", (fitting === undefined) === (page.file["surroundings"] === undefined)],
      ...(fitting === undefined ? [] : [
          [inNumber(fitting), page.tried.filter((each) => hasRoom(page, each)).length],
          [inNumber(none!), page.tried.filter((each) => hasRoom(page, each) && does(page, each)).length],
        ] satisfies Told[]),
    ],
  },
  {
    words: says(String.raw`Soil # to # \(# to # untested, factor (\d+)\)\.`),
    figures: ([, low, high, given, most, factor]) => [
      [withUnit(low!, high!), rate(0, FACTOR)], [high, rate(1, FACTOR)], [withUnit(given!, most!), rate(0)], [most, rate(1)],
      [factor, FACTOR],
    ],
  },
  {
    words: says(String.raw`Rain of # fills the works to #, where water comes out \(# of room\), and full to there the soil keeps up with #\.`),
    figures: ([, rain, level, volume, keeps], page) => {
      const full = filled(page);
      return [
        [rain, full.rain], [level, full.level], [volume, SHED * ROOF * full.rain],
        ["a hundredth less stays in", !comesOut(page, 0.99 * inMillimetres(keeps!))],
        ["a hundredth more comes out", comesOut(page, 1.01 * inMillimetres(keeps!))],
      ];
    },
  },
  {
    words: says(String.raw`Soil as used, from the top down: #, #\.`), figures: ([, upper, lower]) => [[upper, rate(0, FACTOR)], [lower, rate(1, FACTOR)]],
  },
  {
    head: /^body \|/, words: /^([^|]+) \| (.+)$/,
    figures: ([, name], page, { head, text }) => {
      const besideTold = (cell: string | null, isSame: boolean): Told[] => {
        if (cell === null) return [];
        if (cell === "the same") return [[cell, isSame]];
        const [, drawnCount, sizes] = /^(?:(\d+), )?(.+)$/.exec(cell)!;
        const counted: Told[] = drawnCount === undefined ? [] : [[drawnCount, page.drawn.chambers]];
        return [[cell, !isSame], ...counted, ...figuresIn(sizes!, drawn!.flat())];
      };
      const [, count, body] = /^(?:(\d+) )?(.+)$/.exec(name!)!;
      const [mine, drawn] = [bodies(page.design)[body!]!, bodies(page.drawn)[body!]];
      const cells = cellsOf(text).slice(1);
      const beside = head.endsWith("as drawn") ? cells[3]! : null;
      return [
        ...mine.flatMap((values, i) => figuresIn(cells[i]!, values)),
        ...(count === undefined ? [] : [[count, page.design.chambers] satisfies Told]),
        ...besideTold(beside, JSON.stringify(mine) === JSON.stringify(drawn)
          && (count === undefined || page.drawn.chambers === page.design.chambers)),
      ];
    },
  },
  { head: /^asked \|/, words: /^The emitter stays shut in “cloudburst” \|/, figures: (_, page, line) => askedCells(page, line, 0) },
  {
    head: /^asked \|/, words: new RegExp(`^The emitter lets out no more than ${FIG} in “cloudburst” \\|`),
    figures: ([, limit], page, line) => [[limit, page.limit], ...askedCells(page, line, 0)],
  },
  {
    head: /^asked \|/, words: /^The pit is empty within (\d+ (?:h|days)) of being last full in “10 year, block, any duration” \|/,
    figures: ([, limit], page, line) => [[limit, 72 * HOUR], ...askedCells(page, line, 1)],
  },
  { head: /^asked \|/, words: /^Nothing comes out over a rim or the ground in “10 year, block, any duration” \|/, figures: (_, page, line) => askedCells(page, line, 0) },
  {
    head: /^asked \|/, words: /^Has room on the lot \|/,
    figures: (_, page, { text }) => cellsOf(text).slice(1).map((cell) => [cell, page.file["surroundings"] === undefined ? "not looked at" : hasRoom(page, page.drawn) ? "yes" : "no"]),
  },
  { head: /^asked \|/, words: /^To dig \|/, figures: (_, page, line) => askedCells(page, line, null) },
  {
    words: /^One step down, all else equal: with (fewer chambers|a shorter pit|a shorter trench) (.+); (?:once silt has sealed the floors (none) of the sizes tried does all that is asked|for floors sealed by silt it would have to be (.+))\.$/,
    figures: ([, less, missed, none, sealed], page) => {
      const { design } = page;
      const below = less === "a shorter pit" ? { ...design, pit: design.pit - page.step }
        : less === "a shorter trench" ? { ...design, trench: design.trench! - page.step } : { ...design, chambers: design.chambers - 1, pit: pitOf(design.chambers - 1, page.step) };
      return [
        [missed, misses(page, below).join(" and ")],
        ...(none === undefined ? dimensions(new RegExp(`^${DIMENSIONS}$`).exec(sealed!)!.slice(1), leastSealed(page))
          : [["none does", page.tried.every((each) => !does(page, each, "sealed"))] satisfies Told]),
      ];
    },
  },
  {
    words: says(String.raw`Soil that takes in #, given #, then #, given # from the top down, over a pit floor of #(?: and a trench floor of #)?\.`),
    figures: ([, used, given, below, belowGiven, floor, trenchFloor], { design }) => [
      [used, rate(0, FACTOR)], [given, rate(0)], [below, rate(1, FACTOR)], [belowGiven, rate(1)], [floor, design.pit * WIDTH],
      design.trench === null ? ["no trench", trenchFloor === undefined] : [trenchFloor, design.trench * 0.5],
    ],
  },
  {
    words: /^Groundwater no nearer than (.+) under the floor of the pit, which lies at (.+)\.$/, figures: ([, apart, level]) => [[apart, FLOOR - WATER], [level, FLOOR]],
  },
  { words: says(String.raw`# to dig\.`), figures: ([, told], page) => [[told, dug(page, page.design)]] },
  {
    words: /^(The pipe .+ is given as .+ long; straight on the plan it is .+\.|Where it does not run straight .+\.|The overflow trench is drawn .+ long on the plan and given as .+\.)$/,
    figures: ([, told], { onPlan }) => [["of the plan", onPlan.notes.some((note) => note.includes(told!))]],
  },
  {
    words: /^The (?:chosen design|design as drawn) on its lot, north up, with what it is nearest to; hatched: where such a pit keeps every distance asked, ([\d.]+ %) of the lot\.$/,
    figures: ([, told], { onPlan }) => [[told, onPlan.share!]],
  },
  { words: new RegExp(`^It does not fit: ${NEAR}\\.$`), figures: ([, ...found], page) => near(found, page.design) },
  {
    words: /^At the highest water of the pit, (hour [\d.]+), in “(.+)”\.$/,
    figures: ([, at, storm], page) => [[at, own(page, stormOfWords(storm!)).peaks["chamberBank"]!.time]],
  },
  {
    words: says(String.raw`In “(.+)”: The emitter stays shut: the water of pit and trench stops # below the level that lifts its lid\.`),
    figures: ([, storm, told], page) => {
      const { emitter, overflowTrench: trench } = siteOf(page, page.design);
      const run = own(page, stormOfWords(storm!));
      const wet = run.bodies.filter(({ name, kind }) => ["trench", "pipe"].includes(kind) && run.peaks[name]!.level > trench!.floor);
      // water of the trench, or of the pit, which runs over into it, under the level at which the lid opens
      const highest = Math.max(pitPeak(run), ...wet.map(({ name }) => run.peaks[name]!.level));
      return [[told, emitter!.opensAt - highest], ["shut", run.firings.length === 0]];
    },
  },
  {
    words: /^In “(.+)”: The emitter opens first at (hour [\d.]+) and closes for good at (hour [\d.]+)\.$/,
    figures: ([, storm, opens, closes], page) => {
      const { firings } = own(page, stormOfWords(storm!));
      return [[opens, firings[0]!.start], [closes, firings.at(-1)!.end!]];
    },
  },
  {
    words: /^(?:In “(?:.+)”: )?(The pit runs over into the trench|Water stands back from the pit into the outlet of the settling box) from (hour [\d.]+) on\.$/,
    figures: ([, what, told], page) => {
      const { overflowTrench: trench, settlingBoxes } = siteOf(page, page.design);
      const level = what!.startsWith("The pit") ? trench!.inlet.crest : settlingBoxes[0]!.outlet.crest;
      // in one of the storms asked, at the moment its level is first passed
      const from = askedRuns(page).map((run) => [...run.times].find((time) => run.level("chamberBank", time) > level) ?? Infinity);
      return [["in one of the storms", from.some((time) => shows(told!, time) === null)]];
    },
  },
  {
    words: /^(?:In “(?:.+)”: )?The stone of the pit is full to its top at (hour [\d.]+)\.$/,
    figures: ([, told], page) => {
      const from = askedRuns(page).map((run) => [...run.times].find((time) => run.level("chamberBank", time) >= FLOOR + 1.4) ?? Infinity);
      return [["in one of the storms", from.some((time) => shows(told!, time) === null)]];
    },
  },

  // how it was found
  {
    words: /^Asked: (.+)\.$/,
    figures: ([, told], page) => [[told, page.limit > 0 ? `(1) the emitter lets out no more than ${limitOf(page)} in “cloudburst”; (2) the pit is empty within 72 h of being last full in ${TEN_YEARS}`
      : page.design.trench === null ? `(1) nothing comes out over a rim or the ground in ${TEN_YEARS}`
      : `(1) the emitter stays shut in “cloudburst”; (2) the pit is empty within 72 h of being last full in ${TEN_YEARS}`]],
  },
  { words: /^(\d+) designs were run, every combination of the sizes given\.$/, figures: ([, told], page) => [[told, page.tried.length]] },
  {
    words: says(String.raw`Between the steps the least was sought further: (?:(\d+) to (\d+) chambers; trench|pit)'s length from # to #; lengths to (a centimetre|half an inch)\.`),
    figures: ([, few, many, short, long, to], { tried, step }) => {
      const lengths = tried.map((each) => each.trench ?? each.pit);
      const counts = tried.map((each) => each.chambers);
      const chambers: readonly Told[] = few === undefined ? [] : [[few, Math.min(...counts)], [many, Math.max(...counts)]];
      return [...chambers, [short, Math.min(...lengths)], [long, Math.max(...lengths)], [to, step === 0.01 ? "a centimetre" : "half an inch"]];
    },
  },
  {
    words: new RegExp(`^(\\d+) designs do not fit the lot; the first of them, (.+): ${NEAR}\\.$`),
    figures: ([, all, name, ...found], page) => [
      [all, page.tried.filter((each) => !hasRoom(page, each)).length], ["the first", dug(page, named(name!, page)) === dug(page, byDug(page)[0]!)],
      ...near(found, named(name!, page)),
    ],
  },
  {
    head: /^design \|/, words: /^([^|]+) \| (.+)$/,
    figures: ([, name], page, { head, text }) => {
      const design = named(name!, page);
      return cellsOf(text).slice(1).flatMap((cell, i): Told[] => {
        const column = cellsOf(head)[i + 1]!;
        if (column === "to dig") return [[cell, dug(page, design)]];
        return column === "let out" ? [[cell, letOut(page, design)]] : reachedCell(cell, reached(page, design, Number(column[1]) - 1));
      });
    },
  },
  {
    words: /^The (\d+) nearest (?:the best one|the first that does what is asked), of (\d+) designs in the order of what they dig\.$/,
    figures: ([, shown, all], page) => {
      const rows = page.lines.filter(({ head }) => head.startsWith("design | to dig | (1)")).map(({ text }) => dug(page, named(cellsOf(text)[0]!, page)));
      return [[shown, rows.length], [all, page.tried.length], ["in order", rows.every((each, i) => i === 0 || rows[i - 1]! <= each)]];
    },
  },
  {
    words: /^What more digging buys: In the worst of the storms asked for the emitter lets out (.+) for (.+) dug, down to (.+) for (.+) dug; the chosen design (.+) for (.+) dug\.$/,
    figures: ([, ...told], page) => [front(page)[0]!, front(page).at(-1)!, page.design].flatMap((each, i): Told[] => [
      [told[2 * i], letOut(page, each)], [told[2 * i + 1], dug(page, each)]]),
  },
  { words: /^These (\d+) designs in numbers$/, figures: ([, told], page) => [[told, front(page).length]] },
  {
    words: /^In (the best one|the first of these designs) what is asked is decided \((\d)\) by the storm of ([^,]+) from empty works(, the table’s (longest: a longer|shortest: a shorter) one may be worse)?\.$/,
    figures: ([, which, asked, duration, , edge], page) => {
      const worst = decides(page, which === "the best one" ? page.design : byDug(page)[0]!, Number(asked) - 1).replace("10-year ", "");
      const at = Object.keys(DEPTHS).indexOf(worst);
      return [[which, (which === "the best one") === page.isChosen], [asked, asks(page).length], [duration, worst],
        [edge ?? "", at === 0 ? "shortest: a shorter" : at === Object.keys(DEPTHS).length - 1 ? "longest: a longer" : ""]];
    },
  },
  {
    words: /^Every duration of the table was run, from empty works and, where the table has one, after its 2-year day; what that day alone lets out is not counted\.$/,
    figures: () => [["the table has no day", !Object.values(DEPTHS).some((_, i) => LASTS[Object.keys(DEPTHS)[i]!] === DAY)]],
  },
  {
    words: says(String.raw`By rule of thumb \(room for # of rain; common practice, without a source\): (.+), # to dig, (?:misses what is asked: (.+)|does all that is asked)\.`),
    figures: ([, rain, name, bulk, missed], page) => {
      const amount = page.lines.filter(({ text }) => text.startsWith("By rule of thumb")).findIndex(({ text }) => text.includes(rain!)) === 0 ? 0.0254 : 0.0381;
      const least = byDug(page).find((each) => room(each) >= ROOF * amount)!;
      return [[rain, amount], ["the least with that room", JSON.stringify(named(name!, page)) === JSON.stringify(least)], [bulk, dug(page, least)], [missed ?? "", misses(page, least).join("; ")]];
    },
  },

  // which storm
  {
    words: says(String.raw`(The emitter stays shut in every storm up to the 10-year ones; t|T)he box's water comes nearest to its rim, #, in the 10-year storm of (.+)\.`),
    figures: ([, shut, told, duration], page) => [
      ...worstCell(`${told} (${duration})`, page, "10-year", headroom, -1),
      ["stays shut", shut === "T" ? page.design.trench === null : ["2-year", "10-year"].every((period) => Object.keys(DEPTHS).every((each) => own(page, `${period} ${each}`).firings.length === 0))],
      ["nothing comes out", ten.every((storm) => own(page, storm).spilled === 0)],
    ],
  },
  {
    words: says(String.raw`The emitter (stays shut in every 2-year storm and )?fires in (2|10)-year storms? of (.+?)(?: to (.+?))?(?:, most in (.+) \(#\))?\.`),
    figures: ([, shut, years, first, last, most, volume], page) => {
      const durations = Object.keys(DEPTHS);
      const firing = durations.filter((each) => own(page, `${years}-year ${each}`).openTime > 0);
      const two = durations.filter((each) => own(page, `2-year ${each}`).openTime > 0);
      return [
        ["stays shut", (shut !== undefined) === (two.length === 0)], ["the least rare that it fires in", years === (two.length > 0 ? "2" : "10")],
        ...(first === "every duration" ? [["every", firing.length === durations.length] satisfies Told]
          : [[first, firing[0]!], [last ?? first, firing.at(-1)!]] satisfies Told[]),
        ...(most === undefined ? [] : worstCell(`${volume} (${most})`, page, `${years}-year`, ({ emitted }) => emitted)),
      ];
    },
  },
  { section: /^sweep$/, words: /down within (\d+ min), and a block of even rain has no peak\.$/, figures: ([, told]) => [[told, 360]] },
  {
    head: /^\| 2-year \| 10-year$/, words: /^([^|]+) \| ([^|]+) \| ([^|]+)$/,
    figures: ([, name, two, tenth], page) => {
      const [of, sign] = WORST[name!] ?? [() => () => NaN];
      return [...worstCell(two!, page, "2-year", of(page), sign), ...worstCell(tenth!, page, "10-year", of(page), sign)];
    },
  },
  {
    head: /^storm \| rain \|/, words: /^([^|]+) \| (.+)$/,
    figures: ([, duration], page, { head, group, text }) => {
      const storm = `${group} ${duration}`;
      const run = own(page, storm);
      const state = run.emitted > 0 ? "emitter firing" : page.design.trench !== null && pitPeak(run) > 9.1 ? "trench running" : "filling";
      const values: Readonly<Record<string, number | string>> = {
        "rain": stormOf(storm).depth[0]!, state, "pit's highest": pitPeak(run), "let out": run.emitted, "first opens": run.firings[0]?.start ?? "never",
        "empty after": emptyAfter(page, page.design, storm),
      };
      return cellsOf(text).slice(1).map((cell, i): Told => [cell, values[cellsOf(head)[i + 1]!] ?? NaN]);
    },
  },

  // with and without
  {
    words: /^In “(.+)” the works keep (\d+ %) of the water and (\d+ %) of the greatest flow\.$/,
    figures: ([, storm, water, peak], page) => [
      [water, kept(own(page, storm!), storm!)[0]], [peak, kept(own(page, storm!), storm!)[1]],
      ["the least of all storms", Object.keys(STORMS).every((each) => kept(own(page, each), each)[0] >= kept(own(page, storm!), storm!)[0] - 1e-9)],
    ],
  },
  {
    head: /^storm \| without \|/, words: /^([^|]+) \| (.+)$/,
    figures: ([, name], page, { group, text }) => {
      const storm = group === "" ? name! : `${group} ${name}`;
      const [before, after, [water, peak]] = [sheds(storm), leaves(own(page, storm)), kept(own(page, storm), storm)];
      const values = [before.volume, after.volume, water, before.peak, after.peak, peak];
      return cellsOf(text).slice(1).map((cell, i): Told => (cell === "none: more leaves" ? [cell, values[i]! < 0] : [cell, values[i]!]));
    },
  },
  {
    words: /^Of the rest, by the end of each run: in “cloudburst” (.+) soaked away; in “wet day” (.+) soaked away\.$/,
    figures: ([, ...told], page) => Object.keys(STORMS).flatMap((storm, i): Told[] => {
      const { volume } = sheds(storm);
      const { ledger, ...run } = own(page, storm);
      return [[told[i], volume - leaves({ ledger, ...run }).volume], [told[i], run.seeped], ["nothing stands", Math.abs(ledger.storedEnd - ledger.storedStart) < 1e-3]];
    }),
  },
  {
    words: /^Of every (2|10)-year storm the works keep all\.$/,
    figures: ([, years], page) => [["keeps all", Object.keys(DEPTHS).every((each) => leaves(own(page, `${years}-year ${each}`)).volume === 0)]],
  },

  {
    words: new RegExp(`^Of the 10-year storms the works keep least(?: of the water)? in that of (.+?)(?:: they keep (\\d+ %) of the water and (?:(\\d+ %) of the greatest flow|let out ([\\d.]+) times as much at once as the roof sheds)|, (\\d+ %), and (?:least of the greatest flow in that of (.+), (\\d+ %)|let out ([\\d.]+) times as much at once as the roof sheds in that of (.+)))\\.$`),
    figures: ([, first, waterOne, peakOne, timesOne, waterTwo, secondLess, peakTwo, timesTwo, secondMore], page) => {
      const all = Object.keys(DEPTHS).map((duration) => ({ duration, kept: kept(own(page, `10-year ${duration}`), `10-year ${duration}`) }));
      const least = (which: 0 | 1): (typeof all)[number] => (
        all.reduce((lowest, each) => (each.kept[which] < lowest.kept[which] ? each : lowest)));
      const [water, peak] = [least(0), least(1)];
      const times = timesOne ?? timesTwo;
      return [[first, water.duration], [secondLess ?? secondMore ?? first, peak.duration], [waterOne ?? waterTwo, water.kept[0]],
        times === undefined ? [peakOne ?? peakTwo, peak.kept[1]] : [times, 1 - peak.kept[1]]];
    },
  },
  {
    words: says(String.raw`What the emitter lets out in “cloudburst” runs # over the turf before the soil has taken it; (?:how far the emitter stands from the boundary the file does not say|the emitter stands # from the nearest boundary)\.`),
    figures: ([, reach, boundary], page) => [
      [reach, onTurf(page).reach], ...(page.file["surroundings"] === undefined ? [["not known", boundary === undefined] satisfies Told] : [[boundary, TO_BOUNDARY] satisfies Told]),
    ],
  },
  {
    words: says(String.raw`What the emitter lets out in “cloudburst” runs over the turf as far as the nearest boundary, # away, and past it: # at most\.`),
    figures: ([, boundary, over], page) => [[boundary, TO_BOUNDARY], [over, onTurf(page).passed[Math.round(TO_BOUNDARY / 0.5)]!]],
  },
  {
    // TR-55 (2nd ed. 1986) Table 3-1 has 0.24 for dense grass; suction and room are those of the texture whose published rate is nearest
    words: says(String.raw`Taken: a fall of (2 %), which is assumed, dense grass \(Manning’s n (0\.24), which is assumed\), soil that takes in #, that of the top layer as used, a suction of #, assumed by that rate, and room for ([\d.]+) of its volume in water, which is assumed\.`),
    figures: ([, fall, n, rateTold, suction, roomTold]) => {
      const { conductivity, texture } = turfSoil();
      return [[fall, 0.02], [n, 0.24], [rateTold, conductivity], [suction, texture.wettingFrontSuction],
        [roomTold, texture.effectivePorosity / 2]];
    },
  },
  {
    head: /^storm \| let out \| runs over/, words: /^cloudburst \| (.+)$/,
    figures: (_, page, { text }) => {
      const { reach, width, passed } = onTurf(page);
      const cells = cellsOf(text).slice(1);
      const over = passed[Math.round(TO_BOUNDARY / 0.5)]!;
      return [[cells[0], own(page, "cloudburst").emitted], [cells[1], reach], [cells[2], width],
        ...(page.file["surroundings"] === undefined ? [["no boundary", cells[3] === undefined] satisfies Told] : [[cells[3], over] satisfies Told])];
    },
  },

  // what the answers hang on
  {
    words: /^In “(.+)” the pit is empty after: (.+) as the file says, (.+) once silt has sealed the floors\.$/,
    figures: ([, storm, open, sealed], page) => [[open, emptyAfter(page, page.design, storm!)], [sealed, emptyAfter(page, page.design, storm!, "sealed")]],
  },
  {
    words: new RegExp(`hangs on the ${FIG} to ${FIG} used\\.$`),
    figures: ([, low, high]) => [[withUnit(low!, high!), rate(0, FACTOR)], [high, rate(1, FACTOR)]],
  },
  {
    head: /^answer \|/, words: /^([^|]+) \| ([^|]+) \| ([^|]+)$/,
    figures: ([, name, ...cells], page, { group }) => (["open", "sealed"] as const).map((floors, i): Told => {
      const run = runOf(page, page.design, group, floors);
      switch (name) {
        case "pit rises to": return [cells[i], pitPeak(run)];
        case "empty, after it was last full": return [cells[i], emptyAfter(page, page.design, group, floors)];
        case "emitter open for": return [cells[i], run.openTime > 0 ? run.openTime : "–"];
        case "emitter lets out": return [cells[i], run.emitted > 0 ? run.emitted : "–"];
        case "emitter first opens": return [cells[i], run.firings[0]?.start ?? "stays shut"];
        case "comes out elsewhere": case "comes out at the surface": return [cells[i], run.spilled > 0 ? run.spilled : "nothing"];
        default: return [cells[i], `no recomputation of ${name}`];
      }
    }),
  },
];

const stepsIn = (step: number): readonly Design[] => [2, 3, 4].flatMap((chambers) => (
  [8, 12].map((long) => ({ chambers, pit: pitOf(chambers, step), trench: long }))));
/** What the emitter may let out in the cloudburst [m3]. */
const LIMIT = 1.3;
const lets = (asked: SizeOptions): SizeOptions => ({ ...asked, criteria: [{ storm: "cloudburst", emitterVolumeAtMost: `${LIMIT} m^3` }, asked.criteria[1]!] });
const LONG: readonly Design[] = [3, 8].map((length) => ({ chambers: CHAMBERS, pit: length, trench: null }));
const PAGES: Readonly<Record<string, () => Promise<Page>>> = {
  "the usual works": () => pageOf(USUAL, both, stepsIn(0.01)),
  "the usual works in feet and inches": () => pageOf(inFeet(USUAL), inFeet(both), stepsIn(0.0127)),
  "no trench, no emitter": () => pageOf(NO_TRENCH, noSpill, LONG),
  "no trench, no emitter, in feet and inches": () => pageOf(inFeet(NO_TRENCH), inFeet(noSpill), LONG),
  "a design that fires": () => pageOf(USUAL, lets(both), stepsIn(0.01), LIMIT),
  "a design that fires, in feet and inches, the boundary drawn": () => pageOf(inFeet(ROOMY), inFeet(lets(both)), stepsIn(0.0127), LIMIT),
  "nothing that fits": () => pageOf(NO_ROOM, both, stepsIn(0.01)),
};

describe("every sentence of the page of a decision is computed again", () => {
  test.each(Object.entries(PAGES))("%s", async (_, make) => {
    const page = await make();
    expect(unlike(page, page.lines.filter(({ text }) => FIGURE.test(text)), RULES)).toEqual([]);
  });
});
