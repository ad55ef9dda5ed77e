import { designStormAt } from "../rain/storms/designStorm.ts";
import { hyetograph, type Hyetograph } from "../rain/hyetograph.ts";

/** Rain of storms that name a file, by their place in the list; edges [s] and depths [m], as a page can hold them. */
export type RecordedRain = Readonly<Partial<Record<number, { readonly time: readonly number[]; readonly depth: readonly number[] }>>>;

/**
 * The rain of a storm as a site file has it.
 *
 * @param storm     its name and options
 * @param recorded  what its file held, for a storm that names one
 * @throws InputError  for options that make no storm
 */
export function stormRain(storm: Readonly<Record<string, unknown>>, recorded: RecordedRain[number]): Hyetograph {
  if (typeof storm["file"] === "string" && recorded !== undefined) return hyetograph({ time: [...recorded.time], depth: [...recorded.depth] });
  const { name: _, ...options } = storm;
  return designStormAt("designStorm", options);
}

/** All of a rain [m]. */
export function totalDepth({ depth }: Hyetograph): number {
  return depth.reduce((sum, fallen) => sum + fallen, 0);
}
