import { readFile } from "node:fs/promises";
import { basename, dirname, isAbsolute, join, relative, resolve } from "node:path";
import type { Site } from "../site/site.ts";
import { sizedText } from "../study/sizedText.ts";
import type { Beside } from "./beside.ts";
import { readText, writeTogether } from "./files.ts";

/** A chosen design as a site that was read from its own file. */
export interface SavedDesign {
  /** as read from the written text, so that what is said of it is said of the file */
  readonly site: Site;
  /** where it was written; null where the file has that design already */
  readonly path: string | null;
}

/**
 * Writes the site file of a chosen design into a folder, `<name>-sized.json`, with the files of rain that it names beside it, so that it
 * runs from there; and reads it back.
 *
 * @param path    of the site file
 * @param drawn   as it was read
 * @param sized   the chosen design
 * @param beside  finds the files that the site file names
 * @param read    makes a site of a text as `drawn` was made
 */
export async function savedDesign(
  path: string, drawn: Site, sized: Site, folder: string, beside: Beside, read: (text: string) => Promise<Site>,
): Promise<SavedDesign> {
  const before = await readText(path);
  const text = sizedText(before, drawn, sized);
  if (text === before) return { site: drawn, path: null };
  const site = await read(text);
  const to = join(folder, `${basename(path).replace(/\.json$/i, "")}-sized.json`);
  const named: { path: string; text: string }[] = [];
  for (const name of filesNamed(JSON.parse(text.replace(/^\uFEFF/, "")))) {
    const found = await beside(name);
    const copy = resolve(folder, name);
    const isBelow = !/^\.\.([\\/]|$)/.test(relative(folder, copy)) && !isAbsolute(relative(folder, copy));
    if ("path" in found && isBelow && copy !== resolve(dirname(path), name)) named.push({ path: copy, text: await readFile(found.path, "utf8") });
  }
  await writeTogether([...named, { path: to, text }]);
  return { site, path: to };
}

/** Every name under a key `file`, wherever it stands: files of rain, of a storm, a table or a record. */
function filesNamed(part: unknown): string[] {
  if (typeof part !== "object" || part === null) return [];
  const names = Object.entries(part).flatMap(([key, value]) => (key === "file" && typeof value === "string" ? [value] : filesNamed(value)));
  return [...new Set(names)];
}
