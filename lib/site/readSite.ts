import { emptyFindings, type JsonSchema } from "../schema/field.ts";
import { parseJson } from "../schema/parseJson.ts";
import type { UnitSystem } from "../text/format.ts";
import { pathTo } from "../text/pathTo.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { deepFreeze } from "./changedSite.ts";
import { checkSite } from "./checkSite.ts";
import { judgeOf } from "./judge.ts";
import type { Catchment, Site } from "./site.ts";
import { fileWithFacts, siteFile, type SiteFile } from "./siteFile.ts";
import { siteNotes } from "./siteNotes.ts";

/**
 * Reads and checks a site file whole. The result is in SI, has every default filled in and is deeply frozen; the source
 * is left as it was.
 *
 * @param source  the file's text, or what JSON.parse made of it
 * @throws SiteError  with every problem at once, each as where, expected and got
 */
export function readSite(source: unknown): Site {
  const findings = emptyFindings((key) => KEY_PLACES.get(key) ?? []);
  const { problems } = findings;
  const root = typeof source === "string" ? parseJson(source, problems) : source;
  if (problems.length > 0) throw new SiteError(problems);
  const file = fileWithFacts(siteFile.read(root, "", findings));
  const units: UnitSystem = findings.lengths.us > findings.lengths.si ? "us" : "si";
  checkSite(file, judgeOf(root, units, problems));
  if (problems.length > 0) throw new SiteError(problems);
  return deepFreeze(toSite(file, units, findings.assumptions));
}

const KEY_PLACES = keyPlaces(siteFile.schema);

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
