import type { LotsStudy } from "./lotCases.ts";
import type { LotResult } from "./lotResults.ts";
import { lotSite, type LotPattern } from "./lotSite.ts";
import { lotPit, type Lot, type LotValue } from "./lotTable.ts";
import type { Sizes } from "./resized.ts";
import { sizePlan } from "./sizeCases.ts";

/** Lots with the sizes that were found for them as values of their own, as a table would give them. */
export interface SizedLots {
  readonly keys: readonly string[];
  readonly lots: readonly Lot[];
  /** combinations of sizes there were to choose from; 0 where works were not sized */
  readonly steps: number;
}

/** The lots of a study that sized them, in the sizes of its results; as they are where it did not. */
export function sizedLots(
  pattern: LotPattern,
  { keys, options: { size } }: LotsStudy,
  lots: readonly Lot[],
  results: readonly LotResult[],
): SizedLots {
  if (size === undefined) return { keys, lots, steps: 0 };
  const { sizes } = sizePlan(pattern.site, size);
  const varied = Object.keys(sizes[0]!) as (keyof Sizes)[];
  const own = [...new Set([...keys, ...varied])];
  const designs = new Map(results.map(({ lot, design }) => [lot, design]));
  return {
    keys: own,
    steps: sizes.length,
    lots: lots.map((lot, i): Lot => {
      const design = designs.get(i) ?? null;
      const values = own.map((key, k): LotValue => {
        const size = design === null || !varied.includes(key as keyof Sizes) ? undefined : sizes[design]![key as keyof Sizes];
        if (size === undefined) return k < keys.length ? lot.values[k]! : null;
        return key === "chambers" ? size : `${size} m`;
      });
      return { ...lot, values, pit: lotPit(lotSite(pattern, own, values, lot.name)) };
    }),
  };
}
