import { frequencyCsv } from "../rain/storms/frequencyCsv.ts";
import type { Site } from "../site/site.ts";
import { describe } from "../text/describe.ts";
import { InputError, type ProblemCode } from "../text/problem.ts";
import type { Beside } from "./beside.ts";
import { readText } from "./files.ts";

/**
 * The site with the table of its studies read, where they name a file in its place: `"rainfall": { "file": "town.csv" }`, the CSV of the US
 * precipitation-frequency server as downloaded, looked for beside the site file.
 *
 * @throws InputError  with what is wrong with the file
 */
export async function siteTable(site: Site, beside: Beside): Promise<Site> {
  const { file, ...others } = site.studies?.rainfall ?? {};
  if (file === undefined) return site;
  const where = "studies.rainfall.file";
  const refuse = (expected: string, got: string, code: ProblemCode = "value"): InputError => (
    new InputError("The studies cannot be made:", [{ where, expected, got, code }]));
  if (typeof file !== "string") throw refuse("the name of a file", describe(file));
  if (Object.keys(others).length > 0) throw refuse("no other keys beside a file", Object.keys(others).join(", "));
  const found = await beside(file);
  if (!("path" in found)) throw refuse(found.expected, found.got, found.code);
  const { table } = frequencyCsv(await readText(found.path));
  return { ...site, studies: { ...site.studies!, rainfall: { ...table } } };
}
