import { WITHIN_SITE_FACTOR } from "../ground/test/withinSiteBand.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { normalQuantile } from "../numerics/normalQuantile.ts";
import { sobolDraw } from "../numerics/draw.ts";
import { designStorm, type DesignStormOptions } from "../rain/storms/designStorm.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import { networkOf } from "../simulate/assemble.ts";
import { drawnRuns } from "../simulate/drawnRuns.ts";
import { exits } from "../simulate/exits.ts";
import { COARSE_TOLERANCE } from "../simulate/runOptions.ts";
import { stormRuns } from "../simulate/stormRuns.ts";
import { variedSite } from "../simulate/variedSite.ts";
import { changedSite } from "../site/changedSite.ts";
import { withFacts } from "../site/facts.ts";
import { measuredSoil } from "../site/measuredSoil.ts";
import { layerBand } from "../site/siteNotes.ts";
import type { Site } from "../site/site.ts";
import { optionReader, type OptionReader } from "../text/optionReader.ts";
import { ANSWERS, figuresRow, rowFrom } from "./answerRow.ts";
import type { Cases, Column } from "./cases.ts";

/** What is not known of a site and its storm: each a range in which 95 of 100 lie, in the middle what the site file says. */
export interface Doubts {
  /** the soil's conductivities: within this factor of what was tested or given, log-normal; 1 or more */
  readonly conductivityWithin?: number;
  /**
   * whether the soil of the trench is drawn with that of the pit, as a whole lot that is slower or faster, or on its own; "together"
   * where missing
   */
  readonly soils?: "together" | "apart";
  /** the storm's depth: within this factor, log-normal; 1 or more */
  readonly depthWithin?: number;
  /** every groundwater level: within this length up and down, normal */
  readonly groundwaterWithin?: string;
  /** the stone's porosity: within this number up and down, normal */
  readonly porosityWithin?: number;
  /** the emitter's crest, the box outlets and the trench's inlet, each for itself: within this length, normal */
  readonly levelsWithin?: string;
}

export interface EnsembleOptions extends Doubts {
  /** number of runs, 1 or more */
  readonly runs: number;
  /** whole, 0 or more; the same seed gives the same runs */
  readonly seed: number;
  /** the storm as `designStorm` takes it, or rain */
  readonly storm: DesignStormOptions | Hyetograph;
  /** end of each run, as in `simulate` */
  readonly until?: string | number;
  /**
   * number of levels of the pit to keep of each run, evenly from its start to its end, each the highest around its moment: 2 or more;
   * none where missing
   */
  readonly moments?: number;
}

export interface EnsembleStudy {
  readonly kind: "ensemble";
  readonly site: Site;
  readonly options: EnsembleOptions;
}

/** What is drawn of each run, in the order of its Sobol numbers. */
export const DRAWN = ["conductivityFactor", "stormFactor", "groundwaterShift", "porosityShift", "emitterShift", "boxOutletShift", "inletShift", "trenchSoilFactor"] as const;

export type DrawnName = (typeof DRAWN)[number];
export type Drawn = Readonly<Record<DrawnName, number>>;

/**
 * One storm on one site, many times over, each with its own soil, water table, stone and levels within their doubt. The soil's draws
 * centre on what was tested or given: its factor of safety is a rule of design, no knowledge of the soil, and is 1 in every case. A row is
 * what was drawn and then the answers of its run, made with the tolerance of `COARSE_TOLERANCE`. Run i draws from (seed, i)
 * alone: adding runs changes no earlier one.
 *
 * @throws InputError  with all problems
 */
export function ensembleCases({ site, options }: EnsembleStudy): Cases {
  const { runs, seed, spread, moments, ...ends } = readOptions(site, options);
  const drawnRow = drawnRows(site, rainOf(options.storm), ends);
  const drawnColumns = DRAWN.map((name): Column => ({ name, unit: name.endsWith("Factor") || name === "porosityShift" ? "" : "m" }));
  return {
    columns: [...drawnColumns, ...ANSWERS, ...Array.from({ length: moments }, (_, i) => ({ name: `level ${i + 1}`, unit: "m" }))],
    count: runs,
    chunk: 200,
    row(run) {
      const drawn = drawnOf(spread, (which) => normalQuantile(sobolDraw(seed, run, which)));
      return [...DRAWN.map((name) => drawn[name]), ...drawnRow(drawn, moments)];
    },
  };
}

/** The answers of a site and storm with what was drawn in place of what the file says. */
export function drawnRows(
  site: Site, storm: Hyetograph, ends: Pick<EnsembleOptions, "until">,
): (drawn: Drawn, moments?: number) => number[] {
  const its = asMeasured(site);
  const options = { tolerance: COARSE_TOLERANCE, ...ends };
  const figures = drawnRuns(its, storm, options);
  const run = stormRuns(its, storm, options);
  const settles = settlingOf(its);
  return (drawn, moments = 0) => (settles(drawn) ? rowFrom(() => run(drawnSite(its, drawn), drawn.stormFactor), moments)
    : figuresRow(() => [its, figures(drawn, drawn.stormFactor)], moments));
}

/** Whether the works may have to settle before a run with what was drawn: they do where the water table stands above an opening. */
function settlingOf(site: Site): (drawn: Drawn) => boolean {
  const table = greatestOf(networkOf(site).bodies.map(({ groundwater }) => seriesLevel(groundwater, 0)));
  const lowest = leastOf(exits(site).map(({ level }) => level));
  return ({ groundwaterShift, emitterShift }) => table + groundwaterShift > lowest + Math.min(0, emitterShift);
}

/**
 * The site with its soil as a fill test or a season of a logger found it (`measuredSoil`), or else as it was tested or given; without the
 * factor of safety that a design divides it by.
 */
export function asMeasured(site: Site): Site {
  const measured = measuredSoil(site);
  if (site.soil.factorOfSafety === 1 && measured === null) return site;
  const layers = measured === null ? site.soil.layers
    : site.soil.layers.map((layer) => ({ ...layer, conductivity: measured.factor * layer.conductivity }));
  return changedSite(site, { soil: { ...site.soil, layers, factorOfSafety: 1 } });
}

/** Standard deviations of what is drawn; of the two factors, of their logarithm. */
export type Spread = Drawn;

/** @param deviate  the standard normal deviate of each of DRAWN */
export function drawnOf(spread: Spread, deviate: (which: number) => number): Drawn {
  const value = (name: DrawnName, which: number): number => {
    const shift = spread[name] === 0 ? 0 : spread[name] * deviate(which);
    return name.endsWith("Factor") ? Math.exp(shift) : shift;
  };
  const drawn = Object.fromEntries(DRAWN.map((name, which) => [name, value(name, which)])) as Record<DrawnName, number>;
  // drawn together, the soil of the trench is that of the pit
  return spread.trenchSoilFactor === 0 ? { ...drawn, trenchSoilFactor: drawn.conductivityFactor } : drawn;
}

/** The site with what was drawn in place of what its file says. */
export function drawnSite(site: Site, drawn: Drawn): Site {
  const { conductivityFactor, trenchSoilFactor: trenchFactor, groundwaterShift } = drawn;
  return variedSite(movedParts(site, drawn), { conductivityFactor, trenchFactor, ...(groundwaterShift === 0 ? {} : { groundwaterShift }) });
}

/** A part that is not moved stays the very same, so that what was tabulated of it serves again. */
function movedParts(site: Site, { porosityShift, emitterShift, boxOutletShift, inletShift }: Drawn): Site {
  if (porosityShift === 0 && emitterShift === 0 && boxOutletShift === 0 && inletShift === 0) return site;
  const { settlingBoxes, chamberBank: bank, overflowTrench: trench, emitter } = site;
  // its notes stay those of the site as given: a row has none
  return withFacts({
    ...site,
    settlingBoxes: boxOutletShift === 0 ? settlingBoxes
      : settlingBoxes.map((box) => ({ ...box, outlet: moved(box.outlet, boxOutletShift) })),
    chamberBank: porosityShift === 0 ? bank : { ...bank, stone: { ...bank.stone, porosity: bank.stone.porosity + porosityShift } },
    overflowTrench: trench === null || (porosityShift === 0 && inletShift === 0) ? trench
      : { ...trench, stone: { ...trench.stone, porosity: trench.stone.porosity + porosityShift }, inlet: moved(trench.inlet, inletShift) },
    emitter: emitter === null || emitterShift === 0 ? emitter : { ...emitter, crest: emitter.crest + emitterShift },
  });
}

function moved<P extends { readonly invert: number; readonly outletInvert: number }>(pipe: P, shift: number): P {
  return { ...pipe, invert: pipe.invert + shift, outletInvert: pipe.outletInvert + shift };
}

/** A storm of `designStorm`, or rain as it is. */
export function rainOf(storm: DesignStormOptions | Hyetograph): Hyetograph {
  return "pattern" in storm ? designStorm(storm) : storm;
}

/**
 * The factor within which 95 of 100 conductivities of a site's soil are taken to lie where nothing else is said: the widest band of its
 * layers, of a test with its own readings, of a texture, or of soils within a site round a bare figure; of what was measured on works
 * that stand, its own.
 *
 * @source  `layerBand`; a band that is not even on both sides counts by its two ends
 */
export function soilScatter(site: Pick<Site, "soil" | "diary">): number {
  const measured = measuredSoil(site);
  if (measured !== null) return Math.sqrt(measured.high / measured.low);
  const { soil } = site;
  return greatestOf([1, ...soil.layers.map((layer) => {
    const { low, high } = layerBand(layer);
    return low > 0 ? Math.sqrt(high / low) : WITHIN_SITE_FACTOR;
  })]);
}

/** normal deviates within which 95 of 100 lie */
const WITHIN = normalQuantile(0.975);
/** No draw of 32 bits lies farther out than 6.4 standard deviations. */
const FARTHEST = 6.5 / WITHIN;

interface ReadOptions extends Pick<EnsembleOptions, "until"> {
  readonly runs: number;
  readonly seed: number;
  readonly spread: Spread;
  readonly moments: number;
}

function readOptions(site: Site, options: EnsembleOptions): ReadOptions {
  const read = optionReader("ensemble", options, "The ensemble cannot be run:");
  const runs = read.number("runs", { least: 1, most: 1e7 });
  const seed = read.number("seed", { least: 0, most: 4294967295 });
  const moments = read.has("moments") ? read.number("moments", { least: 2, most: 1000 }) : 0;
  for (const [key, value] of [["runs", runs], ["seed", seed], ["moments", moments]] as const) {
    if (Number.isFinite(value) && !Number.isInteger(value)) read.problem(key, "a whole number");
  }
  const spread = readDoubts(read, site);
  if (read.raw("storm") === undefined) read.problem("storm", "a storm as designStorm takes it");
  const until = read.raw("until") as string | number | undefined;
  read.done();
  return { runs, seed, spread, moments, ...(until === undefined ? {} : { until }) };
}

/** The keys of `Doubts` among the options of a study. */
export function readDoubts(read: OptionReader, site: Site): Spread {
  const factor = (key: string): number => (read.has(key) ? Math.log(read.number(key, { least: 1, most: 1000 })) / WITHIN : 0);
  const length = (key: string): number => (read.has(key) ? read.quantity(key, "length", { least: 0, most: 100 }) / WITHIN : 0);
  const [conductivityFactor, stormFactor] = [factor("conductivityWithin"), factor("depthWithin")];
  const apart = read.word("soils", ["together", "apart"], "together") === "apart" && site.overflowTrench !== null;
  const groundwaterShift = length("groundwaterWithin");
  if (groundwaterShift > 0 && !networkOf(site).bodies.some(({ groundwater }) => groundwater !== null)) {
    read.problem("groundwaterWithin", "a site whose groundwater has a level, or no such key", "a site with groundwater far below");
  }
  const { chamberBank, overflowTrench } = site;
  const porosities = [chamberBank.stone.porosity, ...(overflowTrench === null ? [] : [overflowTrench.stone.porosity])];
  const leastPart = leastOf(porosities.map((porosity) => Math.min(porosity, 1 - porosity)));
  const roomForPorosity = Math.floor((1000 * leastPart) / FARTHEST) / 1000;
  const porosityShift = read.has("porosityWithin") ? read.number("porosityWithin", { least: 0, most: roomForPorosity }) / WITHIN : 0;
  const level = length("levelsWithin");
  const room = leastFall(site) / FARTHEST;
  if (level * WITHIN > room) {
    read.problem("levelsWithin", `a length below ${(1000 * room).toFixed(0)} mm: beyond it a crest could come to lie below the floor of its body`);
  }
  return {
    conductivityFactor, stormFactor, groundwaterShift, porosityShift, boxOutletShift: level,
    emitterShift: site.emitter === null ? 0 : level,
    inletShift: overflowTrench === null ? 0 : level,
    trenchSoilFactor: apart ? conductivityFactor : 0,
  };
}

/** The least height of a crest that may be off over the floor of the body it takes from [m]. */
function leastFall({ settlingBoxes, chamberBank, overflowTrench: trench, emitter }: Site): number {
  return leastOf(
    [...settlingBoxes.map(({ outlet, floor }) => outlet.crest - Math.max(floor, chamberBank.floor)),
    ...(trench === null ? [] : [trench.inlet.crest - Math.max(chamberBank.floor, trench.inletFloor)]),
    ...(trench === null || emitter === null ? [] : [emitter.crest - trench.emitterFloor])],
  );
}
