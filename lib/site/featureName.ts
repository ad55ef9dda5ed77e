import { featureKinds, type Feature } from "./surroundings.ts";

/** A feature in words: its kind, and its own name in quotes where it has one. */
export function featureName({ kind, name }: Pick<Feature, "kind" | "name">): string {
  return name === null ? `the ${featureKinds[kind]}` : `the ${featureKinds[kind]} “${name}”`;
}
