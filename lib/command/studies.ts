import { oftenPart } from "../report/oftenPart.ts";
import type { PagePart } from "../report/pagePart.ts";
import { oftenFigures, sureFigures, sweepFigures, type PackageFigure } from "../report/papers/packageFigures.ts";
import { surePart } from "../report/surePart.ts";
import { sweepPart } from "../report/sweepPart.ts";
import type { Site, StormChoice } from "../site/site.ts";
import { doubtsOf, howSure, type SureOptions } from "../study/howSure.ts";
import { often } from "../study/often.ts";
import { oftenCases, type OftenOptions } from "../study/oftenCases.ts";
import type { StudyOptions } from "../study/runStudy.ts";
import { size, type Sizing } from "../study/size.ts";
import { checkSize, type SizeOptions } from "../study/sizeCases.ts";
import { sweep } from "../study/sweep.ts";
import { checkSweep } from "../study/sweepCases.ts";
import { describe } from "../text/describe.ts";
import { InputError } from "../text/problem.ts";
import type { Beside } from "./beside.ts";
import { siteRain } from "./siteRain.ts";

export type StudyName = "size" | "sweep" | "sure" | "often";

/** Makes a study whose options have been checked: its part of a page, and its figures to be computed again. */
type Make = (how: StudyOptions) => Promise<PagePart & { readonly figures: readonly PackageFigure[] }>;

/** What a site file asks of each study, made ready; sizing, which chooses what the others are about, is made for itself. */
const STUDIES: Readonly<Record<Exclude<StudyName, "size">, (site: Site, beside: Beside) => Promise<Make>>> = {
  sweep: readySweep,
  sure: readySure,
  often: readyOften,
};

/**
 * Makes studies ready, all of them before any is begun.
 *
 * @throws InputError  with the problems of all
 */
export async function readyStudies(
  names: readonly StudyName[], site: Site, beside: Beside,
): Promise<{ readonly size: ((how: StudyOptions) => Promise<Sizing>) | null; readonly others: readonly Make[] }> {
  const sizes = names.includes("size") ? [readySize(site, beside)] : [];
  const others = names.flatMap((name) => (name === "size" ? [] : [(async () => STUDIES[name](site, beside))()]));
  const [sizeReady, ready] = [await Promise.allSettled(sizes), await Promise.allSettled(others)];
  const faults = [...sizeReady, ...ready].flatMap((each): unknown[] => (each.status === "rejected" ? [each.reason] : []));
  if (faults.length > 1 && faults.every((fault) => fault instanceof InputError)) {
    throw new InputError("The studies cannot be made:", faults.flatMap(({ problems }) => problems));
  }
  if (faults.length > 0) throw faults[0];
  const made = <T>(all: readonly PromiseSettledResult<T>[]): T[] => all.flatMap((each) => (each.status === "fulfilled" ? [each.value] : []));
  return { size: made(sizeReady)[0] ?? null, others: made(ready) };
}

async function readySize(site: Site, beside: Beside): Promise<(how: StudyOptions) => Promise<Sizing>> {
  const options = await sizeOptionsOf(site, beside);
  return (how) => size(site, options, how);
}

/**
 * What a site file asks of the sizes of works.
 *
 * @param how.forOthers  for works of other sites, which have not the storms of this one: all that criteria name come along
 * @throws InputError  where it does not ask for them, or with all that is wrong with what it asks
 */
export async function sizeOptionsOf(
  site: Site, beside: Beside, { forOthers = false }: { readonly forOthers?: boolean } = {},
): Promise<SizeOptions> {
  const asked = askedOf(site, "size");
  const options: unknown = { ...rainfallOf(site), ...asked, ...(await rainOf(site, asked["criteria"], beside, forOthers)) };
  checkSize(site, options);
  return options;
}

/** The rain of the recorded storms that criteria name, or of all that they name. */
async function rainOf(site: Site, criteria: unknown, beside: Beside, isAll: boolean): Promise<Pick<SizeOptions, "recorded">> {
  const named = (Array.isArray(criteria) ? criteria : []).map((each) => (each as { readonly storm?: unknown } | null)?.storm);
  const storms = site.storms.filter(({ name, options }) => (isAll || "file" in options) && named.includes(name));
  if (storms.length === 0) return {};
  const rains = await siteRain(storms, beside);
  return { recorded: storms.map(({ name }, i) => ({ name, rain: rains[i]!.rain })) };
}

function readySweep(site: Site): Promise<Make> {
  const options: unknown = { ...rainfallOf(site), ...askedOf(site, "sweep") };
  checkSweep(site, options);
  return Promise.resolve(async (how: StudyOptions) => {
    const made = await sweep(site, options, how);
    return { ...sweepPart(made), figures: sweepFigures(made) };
  });
}

function rainfallOf({ studies }: Site): { readonly rainfall?: unknown } {
  return (studies?.rainfall ?? null) === null ? {} : { rainfall: studies!.rainfall };
}

/** What a site file must say for a study that has no default. */
const NEEDS = {
  size: 'what is asked and sizes to try, such as { "criteria": [{ "storm": "wet day", "noFiring": true }], "steps": { "chambers": [2, 3, 4] } }',
  sweep: 'storms to run, such as { "returnPeriods": ["2 year", "10 year"], "durations": ["30 min", "1 h", "6 h"] }, beside "rainfall"',
  often: 'a climate or a file of rain, such as { "climate": { "stormsPerYear": 80, "meanDepth": "0.4 in", "meanDuration": "6 h" } }',
} as const;

/** @throws InputError  where the file does not ask for the study */
function askedOf({ studies }: Site, name: keyof typeof NEEDS): Readonly<Record<string, unknown>> {
  const asked = studies?.[name] ?? null;
  if (asked === null) throw new InputError("The study cannot be made:", [{ where: `studies.${name}`, expected: NEEDS[name], got: "nothing" }]);
  return asked;
}

/**
 * Where the file says nothing, the first of its storms, soil within the scatter of its tests, and levels within what the survey may be
 * off.
 */
async function readySure(site: Site, beside: Beside): Promise<Make> {
  const asked = site.studies?.sure ?? { levelsWithin: `${site.surveyError} m` };
  const { storm, ...doubts } = asked;
  const choice = stormNamed(site, storm ?? site.storms[0]?.name, "studies.sure.storm");
  const rains = await siteRain([choice], beside);
  const options: SureOptions = { ...(doubts as Omit<SureOptions, "storm">), storm: rains[0]!.rain };
  doubtsOf(site, options);
  return async (how) => {
    const made = await howSure(site, options, how);
    return { ...surePart(made, choice.name), figures: sureFigures(made) };
  };
}

async function readyOften(site: Site, beside: Beside): Promise<Make> {
  const options = await oftenOptionsOf(site, beside);
  oftenCases({ kind: "often", site, options });
  return async (how) => {
    const made = await often(site, options, how);
    return { ...oftenPart(made), figures: oftenFigures(made) };
  };
}

/** The storm of a file that years are to be read from: by its name, or as a file of rain. */
function recordNamed({ storms }: Site, record: unknown): StormChoice {
  const recorded = storms.filter(({ options }) => "file" in options);
  const named = recorded.find(({ name }) => name === record);
  if (named !== undefined) return named;
  if (isObject(record)) return { name: "years", options: record };
  throw new InputError("The study cannot be made:", [{
    where: "studies.often.record", expected: [...recorded.map(({ name }) => JSON.stringify(name)), 'a file of rain such as { "file": "gauge.csv" }'].join(", or "), got: describe(record),
  }]);
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null;
}

/**
 * What a site file asks of years of rain: a record, given as a file of rain is in storms or by the name of a recorded storm, or a climate.
 *
 * @throws InputError  where it does not ask for them, or with what is wrong with the record
 */
export async function oftenOptionsOf(site: Site, beside: Beside): Promise<OftenOptions> {
  const { record, ...others } = askedOf(site, "often");
  const rains = record === undefined ? [] : await siteRain([recordNamed(site, record)], beside);
  return { ...rainfallOf(site), ...others, ...(rains.length > 0 && { records: rains.map(({ rain }) => rain) }) } as OftenOptions;
}

/** A storm of the site by its name, or one given in full. */
function stormNamed(site: Site, storm: unknown, where: string): StormChoice {
  const named = site.storms.find(({ name }) => name === storm);
  if (named !== undefined) return named;
  if (isObject(storm)) return { name: "a storm of its own", options: storm };
  throw new InputError("The study cannot be made:", [{
    where, expected: [...site.storms.map(({ name }) => JSON.stringify(name)), "a storm as in storms"].join(", or "), got: describe(storm),
  }]);
}
