import { readdir, readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { relative } from "node:path";

/** The demo sites that come along: the files of data/ that are sites, not rain or a schema, by name. */
export async function demoSites(): Promise<string[]> {
  const folder = fileURLToPath(new URL("../../data/", import.meta.url));
  const names = (await readdir(folder)).filter((name) => name.endsWith(".json")).sort();
  const sites = await Promise.all(names.map(async (name) => ({ name, site: looksLikeSite(await readFile(folder + name, "utf8")) })));
  return sites.filter(({ site }) => site).map(({ name }) => relative(process.cwd(), folder + name));
}

/** A file that names a pit means to be a site, whatever is wrong with it; it is then told so. */
function looksLikeSite(text: string): boolean {
  try {
    const value: unknown = JSON.parse(text);
    return typeof value === "object" && value !== null && "chamberBank" in value;
  } catch {
    return text.includes('"chamberBank"');
  }
}
