import { quantityPattern } from "../text/quantityPattern.ts";
import type { Dimension } from "../text/quantity.ts";
import { siteFile } from "./siteFile.ts";
import { rainfallWays } from "./stormField.ts";

/**
 * The JSON Schema (draft 7, which editors know best) of the site file, made from the very fields `readSite` reads with.
 * It knows keys, kinds of value and spellings of units; what joins two values (a rim over its floor) only `readSite`
 * checks.
 *
 * @returns  plain data; data/site.schema.json holds it as text
 */
export function siteSchema(): object {
  return {
    $schema: "http://json-schema.org/draft-07/schema#",
    title: "soakstep site file",
    ...siteFile.schema,
    definitions: {
      ...Object.fromEntries(DIMENSIONS.map((dimension) => [dimension, { type: "string", pattern: quantityPattern(dimension) }])),
      rainfall: { oneOf: rainfallWays },
    },
  };
}

/** Those the file holds; each is written once, for its pattern is long. */
const DIMENSIONS: readonly Dimension[] = ["length", "area", "volume", "speed", "flow", "time", "temperature", "density", "areaPerLength"];
