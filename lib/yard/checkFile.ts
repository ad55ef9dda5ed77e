import { greatestOf } from "../numerics/extremes.ts";
import { designStormAt } from "../rain/storms/designStorm.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Run } from "../simulate/run.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import { variedSite } from "../simulate/variedSite.ts";
import { changedSite } from "../site/changedSite.ts";
import { readSite } from "../site/readSite.ts";
import type { Site } from "../site/site.ts";
import { siteSchema } from "../site/siteSchema.ts";
import { withSealedFloors } from "../study/sidesOnly.ts";
import { volumeText, waterText } from "../text/format.ts";
import { listed } from "../text/words.ts";
import { lastingText } from "../text/hours.ts";

/** A key that the file leaves out, and what stands for it. */
export interface DefaultTaken {
  readonly path: string;
  /** as the file would hold it */
  readonly value: unknown;
  /** what the key is */
  readonly about: string;
}

/** What one doubtful thing does to the answers of a storm. */
export interface Matter {
  readonly what: string;
  /** whether the file gives it, or it is a default */
  readonly from: "the file" | "a default";
  /** water at the surface, lid and elsewhere, at the lower and the upper end of the doubt [m3] */
  readonly out: readonly [number, number];
  /** highest level of the pit, likewise [m] */
  readonly level: readonly [number, number];
  /** how long the pit takes to be empty, likewise [s]; null where not within the run */
  readonly empty: readonly [number | null, number | null];
}

export interface CheckedFile {
  readonly site: Site;
  readonly written: number;
  readonly defaults: readonly DefaultTaken[];
  /** name of the storm that the rest is reckoned for; null where the file has none of a pattern */
  readonly storm: string | null;
  /** as the file is: water at the surface, highest level, time to be empty */
  readonly asIs: { readonly out: number; readonly level: number; readonly empty: number | null } | null;
  /** what would matter most first */
  readonly matters: readonly Matter[];
}

/**
 * What the defaults of a site file did, and which of its figures would change the answers most: each is moved to the ends of what it may
 * be, all else as
 * the file says, and the worst of the file's patterned storms is run.
 *
 * @param file  the site file, as JSON.parse makes it
 * @throws SiteError   where it cannot be read
 * @throws StoppedRun  where the storm cannot be run as the file says
 * @source  soil within a factor of 3 where the file says no better, stone of 0.35 to 0.45 voids, rain within a quarter, a water table
 * within two
 *          feet: common practice
 */
export function checkFile(file: unknown): CheckedFile {
  const site = readSite(file);
  const defaults = missingKeys(siteSchema(), file, "");
  const worst = worstStorm(site);
  if (worst === null) return { site, written: leafCount(file), defaults, storm: null, asIs: null, matters: [] };
  const { name, rain, run } = worst;
  const answersOf = (its: Site, factor = 1): Answer => {
    return answersIn(settledRun(its, factor === 1 ? rain : { ...rain, depth: rain.depth.map((depth) => depth * factor) }));
  };
  const asIs = answersIn(run);
  const isDefault = (path: string): boolean => defaults.some((each) => each.path === path);
  const matters = doubts(site, isDefault).flatMap(({ what, from, ends }): Matter[] => {
    try {
      const [a, b] = ends.map((end) => ("factor" in end ? answersOf(site, end.factor) : answersOf(end.site))) as [Answer, Answer];
      return [{ what, from, out: [a.out, b.out], level: [a.level, b.level], empty: [a.empty, b.empty] }];
    } catch (error) {
      // an end that cannot be run to its end tells nothing
      if (error instanceof StoppedRun) return [];
      throw error;
    }
  });
  const swing = ({ out, level }: Matter): number =>
    Math.abs(out[0] - out[1]) +
    Math.abs(level[0] - level[1]) * site.chamberBank.length * site.chamberBank.width * site.chamberBank.stone.porosity;
  return { site, written: leafCount(file), defaults, storm: name, asIs, matters: matters.sort((a, b) => swing(b) - swing(a)) };
}

/** The same for a terminal. */
export function checkedFileText({ site, written, defaults, storm, asIs, matters }: CheckedFile): string {
  const { units, name } = site;
  const out = (volume: number): string => (volume < 1e-3 ? "nothing" : volumeText(volume, units));
  const span = (a: string, b: string): string => (a === b ? a : `${a} to ${b}`);
  const empty = (time: number | null): string => (time === null ? "not within the run" : lastingText(time));
  const wide = greatestOf([0, ...defaults.map(({ path }) => path.length)]);
  return [
    `${name}: ${written} values are written.`,
    "",
    defaults.length === 0 ? "Nothing was left to a default." : `Left to a default, ${defaults.length} of them:`,
    ...defaults.map(({ path, value, about }) => `  ${path.padEnd(wide)}  ${String(value)}, ${about}`),
    ...(site.assumptions.length === 0 ? [] : ["", "Of these the site's own notes say:", ...site.assumptions.map((each) => `  ${each}`)]),
    "",
    ...(storm === null || asIs === null
      ? ["The file has no storm of a pattern, so that what matters most cannot be reckoned."]
      : [
          `In “${storm}” as the file is: ${out(asIs.out)} at the surface, the pit up to ${waterText(asIs.level, units)}, empty after ${empty(asIs.empty)}.`,
          "What would matter most, each by itself:",
          ...matters.map(
            ({ what, from, out: [a, b], level: [c, d], empty: [e, f] }, i) =>
              `  ${i + 1} ${what} (${from}): ${span(out(a), out(b))} at the surface, the pit up to ${span(waterText(Math.min(c, d), units), waterText(Math.max(c, d), units))}, empty after ${listed([...new Set([empty(e), empty(f)])], "or")}`,
          ),
        ]),
    "",
  ].join("\n");
}

interface WorstStorm {
  readonly name: string;
  readonly rain: Hyetograph;
  readonly run: Run;
}

/** Of those that a pattern makes, the one that brings most to the surface, or else highest into the pit; null without any. */
function worstStorm(site: Site): WorstStorm | null {
  let worst: WorstStorm | null = null;
  for (const { name, options } of site.storms) {
    if ("file" in options) continue;
    const rain = designStormAt("designStorm", options);
    const run = settledRun(site, rain);
    if (worst === null || isWorse(answersIn(run), answersIn(worst.run))) worst = { name, rain, run };
  }
  return worst;
}

function isWorse(a: Answer, b: Answer): boolean {
  return Math.abs(a.out - b.out) <= 1e-9 ? a.level > b.level : a.out > b.out;
}

function answersIn(run: Run): Answer {
  return { out: outOf(run), level: run.peaks["chamberBank"]!.level, empty: run.drainDown.empty };
}

interface Answer {
  readonly out: number;
  readonly level: number;
  readonly empty: number | null;
}

interface Doubt {
  readonly what: string;
  readonly from: Matter["from"];
  readonly ends: readonly [End, End];
}

type End = { readonly site: Site } | { readonly factor: number };

const TWO_FEET = 0.6096;

function doubts(site: Site, isDefault: (path: string) => boolean): Doubt[] {
  const { soil, groundwater, chamberBank: bank, overflowTrench: trench } = site;
  const feet = site.units === "us" ? "two feet" : "60 cm";
  const from = (path: string): Matter["from"] => (isDefault(path) ? "a default" : "the file");
  const origin = soil.layers.find((layer) => layer.origin !== null)?.origin ?? null;
  const band = origin === null ? null : origin.kind === "texture" ? origin.texture.band : origin.band;
  const middle = soil.layers.find((layer) => layer.origin !== null)?.conductivity ?? 0;
  const [slow, quick] = band === null || !(band.low > 0) || !(middle > 0) ? [1 / 3, 3] : [band.low / middle, band.high / middle];
  const times = (factor: number): string => `${Number(factor.toPrecision(2))}`;
  const porous = (porosity: number): Site =>
    changedSite(site, {
      chamberBank: { ...bank, stone: { ...bank.stone, porosity } },
      overflowTrench: trench && { ...trench, stone: { ...trench.stone, porosity } },
    });
  const water = (level: number): Site => variedSite(site, { groundwaterLevel: level });
  return [
    {
      what: `the soil ${times(1 / slow)} times slower, or ${times(quick)} times quicker`,
      from: "the file",
      ends: [{ site: variedSite(site, { conductivityFactor: slow }) }, { site: variedSite(site, { conductivityFactor: quick }) }],
    },
    { what: "a quarter less rain, or a quarter more", from: "the file", ends: [{ factor: 0.75 }, { factor: 1.25 }] },
    groundwater.level === null
      ? {
          what: `groundwater ${feet} under the pit, or at its floor, where the file names none`,
          from: "a default",
          ends: [{ site: water(bank.floor - TWO_FEET) }, { site: water(bank.floor) }],
        }
      : {
          what: `groundwater ${feet} lower, or higher`,
          from: "the file",
          ends: [{ site: variedSite(site, { groundwaterShift: -TWO_FEET }) }, { site: variedSite(site, { groundwaterShift: TWO_FEET }) }],
        },
    {
      what: "stone of 0.35 voids, or of 0.45",
      from: from("chamberBank.stone.porosity"),
      ends: [{ site: porous(0.35) }, { site: porous(0.45) }],
    },
    {
      what: "floors clean, or sealed by what settles",
      from: from("chamberBank.openFloorShare"),
      ends: [{ site }, { site: withSealedFloors(site) }],
    },
    ...(soil.factorOfSafety === 1
      ? [
          {
            what: "the soil as tested, or halved for safety",
            from: from("soil.factorOfSafety"),
            ends: [{ site }, { site: variedSite(site, { conductivityFactor: 0.5 }) }],
          } satisfies Doubt,
        ]
      : []),
  ];
}

interface Schema {
  readonly description?: string;
  readonly type?: string;
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly items?: Schema;
  readonly anyOf?: readonly Schema[];
  readonly oneOf?: readonly Schema[];
  readonly default?: unknown;
}

/** Keys with a default that an object of the file leaves out. Objects that are not there at all leave nothing out. */
function missingKeys(schema: Schema, value: unknown, path: string): DefaultTaken[] {
  if (Array.isArray(value)) {
    const of = schema.items ?? schema.anyOf?.find(({ items }) => items !== undefined)?.items;
    return of === undefined ? [] : value.flatMap((each, i) => missingKeys(of, each, `${path}[${i}]`));
  }
  if (typeof value !== "object" || value === null) return [];
  const its = schema.properties === undefined ? schema.anyOf?.find(({ properties }) => properties !== undefined) : schema;
  if (its?.properties === undefined || path === "studies" || path === "survey") return [];
  return Object.entries(its.properties).flatMap(([key, inner]) => {
    const at = path === "" ? key : `${path}.${key}`;
    if (Object.hasOwn(value, key)) return missingKeys(inner, (value as Readonly<Record<string, unknown>>)[key], at);
    // what belongs to a curve number means nothing beside another loss
    if (/with a curve number$/.test(inner.description?.replace(/; .*$/, "") ?? "") && !Object.hasOwn(value, "curveNumber")) return [];
    if (inner.default === undefined || inner.default === "" || (Array.isArray(inner.default) && inner.default.length === 0)) return [];
    return [{ path: at, value: inner.default, about: (inner.description ?? "").replace(/; (?:a|an) .*$|; from .*$/, "") }];
  });
}

function leafCount(value: unknown): number {
  if (typeof value !== "object" || value === null) return 1;
  return Object.values(value).reduce<number>((sum, each) => sum + leafCount(each), 0);
}

/** What leaves the lot by the emitter, over rims and through the ground [m3]. */
function outOf({ ledger: { emitter, boxSpill, bankSpill, trenchSpill } }: Run): number {
  return emitter + boxSpill + bankSpill + trenchSpill;
}
