// Every sentence and every row with a figure on the page of a decision, computed again here from the design the page is about: its sizes
// are written into a site file of their own, which is read and simulated here, beside the plan geometry and the formulas written below.
// A sentence with a figure that no recomputation knows, or that two know, fails. The sites and their rain are invented.
//
// Covered: the page's head, the design, how it was found, which storm, with and without, what the answers hang on.
// Not covered: the parts "how sure", "how often", money, variants and the turf under the emitter, and the words in pictures.
import { describe, expect, test } from "vitest";
import { hyetograph, type Hyetograph } from "../../lib/rain/hyetograph.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import {
  asks, both, CHAMBERS, DAY, DEPTHS, type Design, does, dug, emptyAfter, FACTOR, FIGURE, FLOOR, GROUND, headroom, HOUR, LASTS,
  leaves, letOut, type Line, LOT, NO_ROOM, NO_TRENCH, noSpill, own, type Page, pageOf, PIT, pitPeak, rate, reached, type Reached,
  inFeet, ROOF, runOf, SHED, sheds, siteOf, stormOf, STORMS, ten, USUAL, WATER, WIDTH,
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

/** The pit of so many chambers, each with its share of the drawn length, no shorter in whole steps of the tape [m]. */
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
  return byDug(page).filter((design, i, all) => all.slice(0, i).every((less) => letOut(page, design) < letOut(page, less)));
}

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

function misses(page: Page, design: Design): string[] {
  const words = page.design.trench === null ? [MISSES.spill] : [MISSES.fire, "the pit is not empty"];
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
const hasRoom = (design: Design): boolean => Math.min(...toBoundary(design)) >= LOT.asked;
const NEAR = String.raw`the pit lies ${FIG} from the boundary, ${FIG} asked \(the town, invented\)(?:;| and) the trench lies ${FIG} from the boundary, ${FIG} asked \(the town, invented\)`;
function near(found: readonly string[], design: Design): Told[] {
  const [pitNear, trenchNear] = toBoundary(design);
  return [[found[0], pitNear], [found[1], LOT.asked], [found[2], trenchNear], [found[3], LOT.asked], ["does not fit", !hasRoom(design)]];
}

/** The first figure of a range with the unit of its second. */
const withUnit = (low: string, high: string): string => `${low} ${high.split(" ").slice(1).join(" ")}`;
const inMillimetres = (told: string): number => Number(told.split(" ")[0]) * (told.endsWith(" in/h") ? 25.4 : 1);
const inNumber = (word: string): string => (word === "one" ? "1" : word === "none" ? "0" : word);
function kept(run: Run, storm: string): readonly [water: number, peak: number] {
  const [before, after] = [sheds(storm), leaves(run)];
  return [1 - after.volume / before.volume, 1 - after.peak / before.peak];
}

/** What each body measures, each cell in its figures. */
function bodies({ chambers, pit: long, trench: trenchLong }: Design): Readonly<Record<string, readonly (readonly number[])[]>> {
  return {
    "settling box": [[0.8], [0.6], [10.1 - 8.6]], "pipe from the settling box": [[5], [0.11], []], pit: [[long], [WIDTH], [GROUND - FLOOR]],
    "stone in the pit": [[long], [WIDTH], [1.4]], [`${chambers} chambers`]: [[0.8], [], [1.1]],
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
  const worst = storms.reduce((most, each) => (sign * value(each) > sign * value(most) ? each : most));
  const [, figure, duration] = /^(.+) \((.+)\)$/.exec(cell)!;
  return [[figure, value(worst)], [duration, worst.slice(period.length + 1)]];
}

const WORST: Readonly<Record<string, readonly [of: (page: Page) => (run: Run, storm: string) => number, sign?: -1]>> = {
  "the pit's highest level": [() => pitPeak], "from the box's water to its rim": [() => headroom, -1], "let out by the emitter": [() => ({ emitted }) => emitted],
  "its greatest flow": [() => ({ firings }) => Math.max(0, ...firings.map(({ peakFlow }) => peakFlow))],
  "it first opens at": [() => ({ firings }) => firings[0]?.start ?? 0], "comes out over a rim or the ground": [() => ({ spilled }) => spilled],
  "half empty after": [() => ({ drainDown }) => drainDown.half!], "empty after": [(page) => (_, storm) => emptyAfter(page, page.design, storm)],
};

const RULES: readonly Rule[] = [
  // head and design
  {
    words: new RegExp(`^${DIMENSIONS}: the least dug that does what is asked, of (\\d+) designs and what lies between their steps\\.$`),
    figures: ([, ...found], page) => [
      ...dimensions(found, page.design), [found[5], page.tried.length],
      ["does what is asked", does(page, page.design)], ["digs least", page.tried.every((each) => !does(page, each) || dug(page, each) >= dug(page, page.design) - 1e-9)],
      ["a centimetre less does not", page.design.trench !== null || !does(page, { ...page.design, pit: page.design.pit - page.step })],
    ],
  },
  { words: new RegExp(`^${DIMENSIONS}$`), figures: ([, ...found], page) => dimensions(found, page.design) },
  {
    words: new RegExp(`^Nothing that was tried does what is asked and fits the lot: ${DIMENSIONS} would do it, but ${NEAR}; none of them fits the lot: even with (.+ of trench) ${NEAR}\\.$`),
    figures: ([, ...found], page) => {
      const least = byDug(page).find((each) => does(page, each))!;
      const first = named(found[9]!, page);
      return [
        ...dimensions(found, least), ...near(found.slice(5), least), ...near(found.slice(10), first), ["the least of all", dug(page, first) === dug(page, byDug(page)[0]!)],
        ["none fits", !page.tried.some(hasRoom)],
      ];
    },
  },
  {
    words: /^Of (\d+) designs tried (one|none|\d+) do(?:es)? what is asked(?:; whether they fit was not looked at, because the file says nothing of what stands around|, (none) fits the lot, and (none) does both)\.$/,
    figures: ([, tried, doing, fitting, none], page) => [
      [tried, page.tried.length], [inNumber(doing!), page.tried.filter((each) => does(page, each)).length],
      ["whether they fit", (fitting === undefined) === (page.file["surroundings"] === undefined)],
      ...[fitting, none].flatMap((each): Told[] => (each === undefined ? [] : [[inNumber(each), page.tried.filter(hasRoom).length]])),
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
      const [mine, drawn] = [bodies(page.design)[name!]!, bodies(page.drawn)[name!]];
      const cells = cellsOf(text).slice(1);
      const beside = head.endsWith("as drawn") ? cells[3]! : null;
      return [
        ...mine.flatMap((values, i) => figuresIn(cells[i]!, values)),
        ...(beside === null ? [] : beside === "the same" ? [["the same", JSON.stringify(mine) === JSON.stringify(drawn)] satisfies Told] : figuresIn(beside, drawn!.flat())),
      ];
    },
  },
  { head: /^asked \|/, words: /^The emitter stays shut in “cloudburst” \|/, figures: (_, page, line) => askedCells(page, line, 0) },
  {
    head: /^asked \|/, words: /^The pit is empty within (\d+ (?:h|days)) of being last full in “10 year, block, any duration” \|/,
    figures: ([, limit], page, line) => [[limit, 72 * HOUR], ...askedCells(page, line, 1)],
  },
  { head: /^asked \|/, words: /^Nothing comes out over a rim or the ground in “10 year, block, any duration” \|/, figures: (_, page, line) => askedCells(page, line, 0) },
  {
    head: /^asked \|/, words: /^Has room on the lot \|/,
    figures: (_, page, { text }) => cellsOf(text).slice(1).map((cell) => [cell, page.file["surroundings"] === undefined ? "not looked at" : hasRoom(page.drawn) ? "yes" : "no"]),
  },
  { head: /^asked \|/, words: /^To dig \|/, figures: (_, page, line) => askedCells(page, line, null) },
  {
    words: /^One step down, all else equal: with (fewer chambers|a shorter pit) (.+); (?:once silt has sealed the floors (none) of the sizes tried does it|for floors sealed by silt it would have to be (.+))\.$/,
    figures: ([, less, missed, none, sealed], page) => {
      const { design } = page;
      const below = less === "a shorter pit" ? { ...design, pit: design.pit - page.step } : { ...design, chambers: design.chambers - 1, pit: pitOf(design.chambers - 1, page.step) };
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
  { words: new RegExp(`^It does not fit: ${NEAR}\\.$`), figures: ([, ...found], page) => near(found, page.design) },

  // how it was found
  {
    words: /^Asked: (.+)\.$/,
    figures: ([, told], page) => [[told, page.design.trench === null ? `(1) nothing comes out over a rim or the ground in ${TEN_YEARS}`
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
      [all, page.tried.filter((each) => !hasRoom(each)).length], ["the first", dug(page, named(name!, page)) === dug(page, byDug(page)[0]!)],
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
    words: /^The (\d+) nearest the best one, of (\d+) designs in the order of what they dig\.$/,
    figures: ([, shown, all], page) => {
      const rows = page.lines.filter(({ head }) => head.startsWith("design | to dig | (1)")).map(({ text }) => dug(page, named(cellsOf(text)[0]!, page)));
      return [[shown, rows.length], [all, page.tried.length], ["in order", rows.every((each, i) => i === 0 || rows[i - 1]! <= each)]];
    },
  },
  {
    words: /^What more digging buys: The emitter lets out at most (.+) for (.+) dug, down to (.+) for (.+) dug; the chosen design (.+) for (.+) dug\.$/,
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
      return cellsOf(text).slice(1).map((cell, i): Told => [cell, values[i]!]);
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
        case "emitter first opens": return [cells[i], run.firings[0]?.start ?? "stays shut"];
        case "comes out elsewhere": case "comes out at the surface": return [cells[i], run.spilled > 0 ? run.spilled : "nothing"];
        default: return [cells[i], `no recomputation of ${name}`];
      }
    }),
  },
];

const stepsIn = (step: number): readonly Design[] => [2, 3, 4].flatMap((chambers) => (
  [8, 12].map((long) => ({ chambers, pit: pitOf(chambers, step), trench: long }))));
const LONG: readonly Design[] = [3, 8].map((length) => ({ chambers: CHAMBERS, pit: length, trench: null }));
const PAGES: Readonly<Record<string, () => Promise<Page>>> = {
  "the usual works": () => pageOf(USUAL, both, stepsIn(0.01)),
  "the usual works in feet and inches": () => pageOf(inFeet(USUAL), inFeet(both), stepsIn(0.0127)),
  "no trench, no emitter": () => pageOf(NO_TRENCH, noSpill, LONG),
  "no trench, no emitter, in feet and inches": () => pageOf(inFeet(NO_TRENCH), inFeet(noSpill), LONG),
  "nothing that fits": () => pageOf(NO_ROOM, both, stepsIn(0.01)),
};

describe("every sentence of the page of a decision is computed again", () => {
  test.each(Object.entries(PAGES))("%s", async (_, make) => {
    const page = await make();
    expect(unlike(page, page.lines.filter(({ text }) => FIGURE.test(text)), RULES)).toEqual([]);
  });
});
