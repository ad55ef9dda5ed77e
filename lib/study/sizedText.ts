import type { Site } from "../site/site.ts";
import { writtenDiameter, writtenLength, writtenLevel } from "../text/buildable.ts";
import { jsonWith, type JsonChange } from "../text/jsonText.ts";

/**
 * The text of a site file with the sizes of another design in it: only the values that differ are written, in the units of the file, all
 * else stays byte for byte. It reads as that design, and runs.
 *
 * @param text   of the file that `drawn` was read from
 * @param drawn  as the file has it
 * @param sized  the same works in other sizes, as `size` gives them
 *
 *   sizedText(text, readSite(text), sizing.best!.site);
 */
export function sizedText(text: string, drawn: Site, sized: Site): string {
  return jsonWith(text, changesOf(JSON.parse(text.replace(/^\uFEFF/, "")) as Data, drawn, sized));
}

type Data = Readonly<Record<string, unknown>>;

function changesOf(file: Data, drawn: Site, sized: Site): JsonChange[] {
  const { units } = drawn;
  const changes: JsonChange[] = [];
  const put = (path: JsonChange["path"], before: number, after: number, written: (value: number) => string): void => {
    if (before !== after) changes.push({ path, value: written(after) });
  };
  const length = (value: number): string => writtenLength(value, units);
  const level = (value: number): string => writtenLevel(value, units);
  const diameter = (value: number): string => writtenDiameter(value, units);
  const [bank, other] = [drawn.chamberBank, sized.chamberBank];
  put(["chamberBank", "floor"], bank.floor, other.floor, level);
  put(["chamberBank", "length"], bank.length, other.length, length);
  put(["chamberBank", "width"], bank.width, other.width, length);
  put(["chamberBank", "stone", "depth"], bank.stone.depth, other.stone.depth, length);
  put(["chamberBank", "stone", "base"], bank.stone.base, other.stone.base, length);
  for (const change of chamberChanges(drawn, sized)) changes.push(change);
  drawn.settlingBoxes.forEach((box, i) => {
    const at = Array.isArray(file["settlingBox"]) ? ["settlingBox", i] : ["settlingBox"];
    put([...at, "outlet", "diameter"], box.outlet.diameter, sized.settlingBoxes[i]!.outlet.diameter, diameter);
  });
  const [trench, longer] = [drawn.overflowTrench, sized.overflowTrench];
  if (trench !== null && longer !== null) {
    put(["overflowTrench", "length"], trench.length, longer.length, length);
    put(["overflowTrench", "width"], trench.width, longer.width, length);
    put(["overflowTrench", "inlet", "diameter"], trench.inlet.diameter, longer.inlet.diameter, diameter);
  }
  const [plan, moved] = [drawn.surroundings?.works, sized.surroundings?.works];
  if (!plan || !moved) return changes;
  const works = ["surroundings", "works"];
  const point = (at: readonly [number, number]): string[] => at.map((value) => level(value));
  const apart = (a: readonly number[], b: readonly number[]): boolean => a.some((value, i) => value !== b[i]);
  if (apart(plan.pit.at, moved.pit.at)) changes.push({ path: [...works, "pit", "at"], value: point(moved.pit.at) });
  if (plan.trench === null || moved.trench === null) return changes;
  // a line that lost corners is written again
  if (plan.trench.length !== moved.trench.length) return [...changes, { path: [...works, "trench"], value: moved.trench.map(point) }];
  moved.trench.forEach((at, i) => {
    if (apart(at, plan.trench![i]!)) changes.push({ path: [...works, "trench", i], value: point(at) });
  });
  return changes;
}

/** Kinds of chambers keep their order; one of which none is left is taken out, from the last on, so that places before it stay. */
function chamberChanges({ chamberBank: { chambers: before } }: Site, { chamberBank: { chambers: after } }: Site): JsonChange[] {
  let next = 0;
  const changes = before.map((kind, i): JsonChange | null => {
    const other = after[next];
    const same = other !== undefined && (Object.keys(kind) as (keyof typeof kind)[]).every((key) => key === "count" || JSON.stringify(kind[key]) === JSON.stringify(other[key]));
    if (!same) return { path: ["chamberBank", "chambers", i], value: undefined };
    next++;
    return other.count === kind.count ? null : { path: ["chamberBank", "chambers", i, "count"], value: other.count };
  });
  return changes.filter((change) => change !== null).toReversed();
}
