import { readFileSync } from "node:fs";

/** A site file as parsed JSON, free to be changed. */
export type SiteJson = Record<string, unknown>;

/**
 * A file of tests/site/fixtures. `orchard-depot` is the example of model.md section 6; `fernhollow*` are sites of its
 * reference runs, and `low-spot`, `cover`, `winter-table`, `mound`, `two-boxes`, `upper-bench` and `slope` those of its
 * runs with options; `every-key`, `tested-soil` and `tannery-box` (a gas main through
 * the hole of its box) are made up here.
 */
export function fixture(name: string): SiteJson {
  return parsed(new URL(`./fixtures/${name}.json`, import.meta.url));
}

/** A demo site of data/. */
export function demo(name: string): SiteJson {
  return parsed(new URL(`../../data/${name}.json`, import.meta.url));
}

export const fixtureNames: readonly string[] = [
  "orchard-depot", "fernhollow", "fernhollow-low-point", "low-spot", "cover", "winter-table", "mound", "two-boxes", "upper-bench", "slope",
  "every-key", "tested-soil", "tannery-box",
];

export const demoNames: readonly string[] = ["copperbeech-lane", "linden-row", "sedge-hollow"];

function parsed(url: URL): SiteJson {
  return JSON.parse(readFileSync(url, "utf8")) as SiteJson;
}

/** The file with the value at `path` (`chamberBank.chambers[0].height`) put in its place; undefined takes the key out. */
export function changed(file: SiteJson, path: string, value: unknown): SiteJson {
  const copy = structuredClone(file);
  const keys = path.split(/[.[\]]+/).filter((key) => key !== "");
  let inner = copy;
  for (const key of keys.slice(0, -1)) inner = inner[key] as SiteJson;
  const last = keys.at(-1)!;
  if (value === undefined) delete inner[last];
  else inner[last] = value;
  return copy;
}
