import fc from "fast-check";
import type { SiteJson } from "./siteFiles.ts";

/** Values that stand in place of a lawful one: of every kind, among them such as another key would take. */
const foreign = fc.oneof(
  fc.jsonValue({ maxDepth: 2 }),
  fc.constantFrom<unknown>(
    null, true, false, 0, -1, 1, 2, 0.5, 1e308, -1e-308, "", " ", "0 m", "-1 m", "1e-9 m", "9 km", "1 ft", "95 ft", "48 m", "100000 m",
    "1 h", "0 s", "5 in/hr", "0 mm/h", "20 degC", "30 m^2", "lowSpot", "chamberBank", "settlingBox", "__proto__", "constructor", [], {}, [[]], [{}],
  ),
  fc.tuple(fc.double({ min: -200, max: 200, noNaN: true }), fc.constantFrom("m", "ft", "in", "mm", "h", "mm/h", "m^2")).map((parts) => parts.join(" ")),
);

export interface Change {
  readonly kind: "replace" | "remove" | "rename" | "add" | "swap";
  readonly at: number;
  readonly other: number;
  readonly value: unknown;
  readonly key: string;
}

/** One change of a file, of any kind. */
export const change: fc.Arbitrary<Change> = fc.record({
  kind: fc.constantFrom("replace", "remove", "rename", "add", "swap"),
  at: fc.nat(),
  other: fc.nat(),
  value: foreign,
  key: fc.oneof(fc.constantFrom("__proto__", "constructor", "toString", "length", "name", "floor", "grate", "mounding", "0"), fc.string()),
});

/** Every object and list in a file with each of its keys. */
export function places(value: unknown): { readonly parent: Record<string, unknown>; readonly key: string }[] {
  if (typeof value !== "object" || value === null) return [];
  const parent = value as Record<string, unknown>;
  return Object.keys(parent).flatMap((key) => [{ parent, key }, ...places(parent[key])]);
}

/** Makes a change in a parsed file. */
export function mutate(file: SiteJson, { kind, at, other, value, key: newKey }: Change): void {
  const all = places(file);
  if (all.length === 0) return;
  const { parent, key } = all[at % all.length]!;
  const old = parent[key];
  const set = (name: string, put: unknown): void => {
    // Define, not assign: as JSON.parse does, so that __proto__ becomes a key like others.
    Object.defineProperty(parent, name, { value: structuredClone(put), enumerable: true, configurable: true, writable: true });
  };
  if (kind === "replace") set(key, value);
  else if (kind === "remove") delete parent[key];
  else if (kind === "add") set(Array.isArray(parent) ? String(parent.length) : newKey, value);
  else if (kind === "swap") {
    const from = all[other % all.length]!;
    set(key, from.parent[from.key]);
  } else if (!Array.isArray(parent)) {
    delete parent[key];
    set(newKey, old);
  }
}
