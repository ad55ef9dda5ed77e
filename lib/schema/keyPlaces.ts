import { pathTo } from "../text/pathTo.ts";
import type { JsonSchema } from "./field.ts";

/**
 * Where each key of a file has its place: the paths of the objects that hold it, `chamberBank.stone`, "" for the top. The
 * objects of a list go by the list's path.
 *
 * @param schema  of the whole file, as its fields state it
 */
export function keyPlaces(schema: JsonSchema): ReadonlyMap<string, readonly string[]> {
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
