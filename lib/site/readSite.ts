import type { UnitSystem } from "../text/format.ts";
import { checkSite } from "./checkSite.ts";
import { deepFreeze } from "./deepFreeze.ts";
import { emptyFindings } from "../schema/field.ts";
import { judgeOf } from "./judge.ts";
import { keyPlaces } from "../schema/keyPlaces.ts";
import { parseJson } from "../schema/parseJson.ts";
import type { Site } from "./site.ts";
import { SiteError } from "./siteError.ts";
import { fileWithFacts, siteFile } from "./siteFile.ts";
import { toSite } from "./toSite.ts";

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
