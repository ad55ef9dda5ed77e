import { remembered } from "../numerics/remembered.ts";
import { emptyFindings, type JsonSchema } from "../schema/field.ts";
import { parseJson } from "../schema/parseJson.ts";
import type { UnitSystem } from "../text/format.ts";
import { pathTo } from "../text/pathTo.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { deepFreeze } from "./changedSite.ts";
import { isBelow, type Judge, judgeOf } from "./judge.ts";
import type { Catchment, LowSpot, Site } from "./site.ts";
import { fileWithFacts, siteFile, type SiteFile } from "./siteFile.ts";
import { siteNotes } from "./siteNotes.ts";
import { checkBank } from "./bankField.ts";
import { checkBoxes } from "./boxField.ts";
import { checkCatchments } from "./catchmentField.ts";
import { checkDepths } from "./plausibleLevels.ts";
import { checkGroundwater, checkLayers } from "./soilField.ts";
import { fileOfVariant } from "./variants.ts";
import { checkTrench, groundKey } from "./trenchField.ts";

/**
 * Reads and checks a site file whole. The result is in SI, has every default filled in and is deeply frozen; the source
 * is left as it was.
 *
 * @param source  the file's text, or what JSON.parse made of it
 * @throws SiteError  with every problem at once, each as where, expected and got
 */
export function readSite(source: unknown): Site {
  const findings = emptyFindings((key) => placesOf(siteFile.schema).get(key) ?? []);
  const { problems } = findings;
  const root = typeof source === "string" ? parseJson(source, problems) : source;
  if (problems.length > 0) throw new SiteError(problems);
  const file = fileWithFacts(siteFile.read(root, "", findings));
  const units: UnitSystem = findings.lengths.us > findings.lengths.si ? "us" : "si";
  checkSite(file, judgeOf(root, units, problems));
  if (problems.length > 0) throw new SiteError(problems);
  checkVariants(root, file, problems);
  if (problems.length > 0) throw new SiteError(problems);
  return deepFreeze(toSite(file, units, findings.assumptions));
}

/** Every variant has to be a file that can be read, too. */
function checkVariants(root: unknown, { variants }: SiteFile, problems: Problem[]): void {
  variants.forEach((variant, i) => {
    try {
      readSite(fileOfVariant(root, variant));
    } catch (error) {
      if (!(error instanceof SiteError)) throw error;
      for (const problem of error.problems) problems.push({ ...problem, where: `variants[${i}].${problem.where}` });
    }
  });
}

/** Made when the first unknown key is met, which most files have none of. */
const placesOf = remembered(keyPlaces, 1);

/**
 * The Site of a file that has passed all checks.
 *
 * @param assumptions  what was taken for keys that are missing, as the notes say it
 */
function toSite(file: SiteFile, units: UnitSystem, assumptions: readonly string[]): Site {
  const onlyBox = file.settlingBoxes[0]!.name;
  const site: Omit<Site, "notes"> = {
    name: file.name,
    about: file.about,
    units,
    writtenIn: units,
    region: file.region,
    catchments: file.catchments.map((entry): Catchment => ({ ...entry, drainsTo: entry.drainsTo ?? onlyBox })),
    settlingBoxes: file.settlingBoxes,
    chamberBank: file.chamberBank,
    overflowTrench: file.overflowTrench,
    emitter: file.emitter,
    lowSpot: file.lowSpot,
    soil: file.soil,
    groundwater: file.groundwater,
    storms: file.storms,
    watchLevels: file.watchLevels,
    surveyError: file.surveyError,
    survey: file.survey,
    surroundings: file.surroundings,
    materials: file.materials,
    upkeep: file.upkeep,
    studies: file.studies,
    papers: file.papers,
    prices: file.prices,
    variants: file.variants,
    asBuilt: file.asBuilt,
    diary: file.diary,
    assumptions,
  };
  return { ...site, notes: siteNotes(site) };
}

/**
 * Where each key of a file has its place: the paths of the objects that hold it, `chamberBank.stone`, "" for the top. The
 * objects of a list go by the list's path.
 *
 * @param schema  of the whole file, as its fields state it
 */
function keyPlaces(schema: JsonSchema): ReadonlyMap<string, readonly string[]> {
  const places = new Map<string, string[]>();
  visit(schema, "", (key, place) => {
    const known = places.get(key) ?? [];
    if (!known.includes(place)) places.set(key, [...known, place]);
  });
  return places;
}

function visit(schema: JsonSchema, place: string, take: (key: string, place: string) => void): void {
  const { properties = {}, items, anyOf = [], oneOf = [] } = schema;
  for (const [key, inner] of Object.entries(properties as Readonly<Record<string, JsonSchema>>)) {
    take(key, place);
    visit(inner, pathTo(place, key), take);
  }
  if (items !== undefined) visit(items as JsonSchema, place, take);
  for (const one of [...(anyOf as readonly JsonSchema[]), ...(oneOf as readonly JsonSchema[])]) visit(one, place, take);
}

/** All that is wrong with a site file, in one error; `problems` holds each as where, expected, got. */
export class SiteError extends InputError {
  constructor(problems: readonly Problem[]) {
    super(`The site file cannot be used: ${problems.length === 1 ? "one problem" : `${problems.length} problems`}.`, problems);
    this.name = "SiteError";
  }
}

/**
 * Every rule that joins two values of a file: what lies below what, what fits into what, what names what. A value that
 * could not be read is NaN, about which no rule speaks.
 */
function checkSite(file: SiteFile, judge: Judge): void {
  checkCatchments(file, judge);
  checkBoxes(file, judge);
  checkBank(file, judge);
  checkTrench(file, judge);
  checkEmitter(file, judge);
  checkLowSpot(file, judge);
  checkLayers(file, judge);
  checkDepths(file, judge);
  checkGroundwater(file, judge);
}

/** The emitter: a trench to stand on, a crest that makes no water, heads that leave the lid a way to move. */
function checkEmitter({ emitter, overflowTrench }: SiteFile, judge: Judge): void {
  if (emitter === null) return;
  if (overflowTrench === null) {
    judge.refuse("emitter", "an overflowTrench at whose end it stands", "none");
  } else if (isBelow(emitter.crest, overflowTrench.emitterFloor)) {
    const slits = overflowTrench.pipe !== null && overflowTrench.pipe.openArea !== null;
    const bottom = slits ? "trench pipe's inside bottom" : "trench's floor";
    judge.refuse("emitter.crest", `a level at or above the ${bottom} at its low end (${judge.level(overflowTrench.emitterFloor)})`);
  }
  if (emitter.closesAtHead >= emitter.opensAtHead) {
    judge.refuse("emitter.closesAtHead", `a head below that at which the lid opens (${judge.depth(emitter.opensAtHead)})`);
  }
  emitter.heldShut.forEach(({ from, to }, index) => {
    const where = `emitter.heldShut[${index}]`;
    if (to <= from) judge.refuse(`${where}.to`, `a time after its "from" (${judge.given(`${where}.from`)})`);
  });
}

/** The low spot: what runs into it and over its lip makes no water; nothing runs into one that is not there. */
function checkLowSpot(file: SiteFile, judge: Judge): void {
  const { lowSpot } = file;
  for (const { key, crest } of crestsIntoLowSpot(file, judge)) {
    if (lowSpot === null) judge.refuse(key, "a lowSpot in the file, or the key left out");
    else if (crest !== null && isBelow(crest.level, lowSpot.floor)) {
      judge.refuse(crest.key, `a level at or above the low spot's floor (${judge.given("lowSpot.floor")}), into which it spills`);
    }
  }
  if (lowSpot !== null) checkHollow(lowSpot, file, judge);
}

interface IntoLowSpot {
  /** the key that says so */
  readonly key: string;
  /** over which water runs both ways; null for what only runs in */
  readonly crest: { readonly key: string; readonly level: number } | null;
}

function crestsIntoLowSpot(file: SiteFile, judge: Judge): IntoLowSpot[] {
  const { boxesInList: inList, settlingBoxes: boxes, chamberBank, overflowTrench, emitter } = file;
  const found: IntoLowSpot[] = [];
  boxes.forEach(({ spillsTo, rim }, index) => {
    const where = inList ? `settlingBox[${index}]` : "settlingBox";
    if (spillsTo !== null) found.push({ key: `${where}.spillsTo`, crest: { key: `${where}.rim`, level: rim } });
  });
  const edges = [
    { where: "chamberBank", body: chamberBank, key: "chamberBank.ground", level: chamberBank.ground },
    ...(overflowTrench === null ? [] : [{
      where: "overflowTrench", body: overflowTrench, key: groundKey(judge, overflowTrench.ground.high < overflowTrench.ground.low ? "high" : "low"),
      level: overflowTrench.lowestGround,
    }]),
  ];
  for (const { where, body, key, level } of edges) {
    // Through a cover water only rises.
    if (body.spillsTo !== null) found.push({ key: `${where}.spillsTo`, crest: body.cover === null ? { key, level } : null });
  }
  if (emitter !== null && emitter.dischargesTo !== null) found.push({ key: "emitter.dischargesTo", crest: null });
  return found;
}

function checkHollow({ floor, lip, grate }: LowSpot, { chamberBank }: SiteFile, judge: Judge): void {
  if (isBelow(lip, floor)) judge.refuse("lowSpot.lip", `a level at or above the low spot's floor (${judge.given("lowSpot.floor")})`);
  if (grate === null) return;
  if (isBelow(grate.level, floor)) {
    judge.refuse("lowSpot.grate.level", `a level at or above the low spot's floor (${judge.given("lowSpot.floor")})`);
  }
  if (isBelow(grate.level, chamberBank.floor)) {
    judge.refuse("lowSpot.grate.level", `a level at or above the pit's floor (${judge.given("chamberBank.floor")})`);
  }
}
