import { WITHIN_SITE_FACTOR } from "../ground/test/withinSiteBand.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import { durationText, flowText, threeFigures, type UnitSystem } from "../text/format.ts";
import { staffText } from "../text/staffText.ts";
import type { Scatter } from "./fillFit.ts";
import type { FillLine } from "./fillLine.ts";
import type { Cause, FilledPit, UnknownName } from "./fillModel.ts";
import type { FittedNumber } from "./fillTest.ts";

/** What a fill test says of the works. */
export interface FillVerdict {
  readonly kind: "as designed" | "slow" | "leaking" | "water table";
  /** the verdict with its reason in numbers */
  readonly sentence: string;
  /** what else bears on it, in sentences */
  readonly reasons: readonly string[];
}

/** Soil that takes in less of what the design counts on is slow; ours, less than what two tests on one site differ by. */
const SLOW = 0.8;

/**
 * The verdict, the graver first: a leak that the dips ask for, or water that goes faster than soils within a site differ; a water
 * table above the design's; a soil whose whole band lies below the design's and whose best value below four fifths of it, or a
 * floor that takes in less than half of its share while the pit as a whole is slower than drawn; else as designed.
 *
 * @param models  causes of the model chosen and of its rivals
 */
export function fillVerdict(
  pit: FilledPit, numbers: readonly FittedNumber[], line: FillLine, models: readonly (readonly Cause[])[], scatter: Scatter,
): FillVerdict {
  const find = (name: UnknownName): FittedNumber | null => numbers.find((number) => number.name === name) ?? null;
  const soil = find("soil")!;
  const level = find("leakLevel");
  const table = find("waterTable");
  const floor = find("floor");
  const { units, chamberBank } = pit.site;
  const reasons = [comparison(pit, line, units), ...rivalWords(models)];
  const soilSays = `the soil takes in ${timesText(soil)} what the design counts on`;
  if (level !== null) {
    const flow = find("leakFlow")!;
    return {
      kind: "leaking",
      sentence: `Leaking: above ${heightOver(chamberBank.floor, level.value, units)} the pit loses ${flowText(flow.value, units)} at the highest dip that soil cannot take in.`,
      reasons: [`Below that level ${soilSays}.`, ...reasons],
    };
  }
  if (table !== null && table.value > designTable(pit) + scatter.deviation) {
    const stands = table.value > chamberBank.floor;
    return {
      kind: "water table",
      sentence: stands
        ? `Water table: the water stops falling ${staffText(table.value - chamberBank.floor, units)} above the floor.`
        : `Water table: groundwater ${staffText(chamberBank.floor - table.value, units)} below the floor holds the water back.`,
      reasons: [`Above it ${soilSays}.`, ...reasons],
    };
  }
  if (soil.band.low !== null && soil.band.low > WITHIN_SITE_FACTOR) {
    return {
      kind: "leaking",
      sentence: `Leaking: the water goes ${threeFigures(soil.value)} times as fast as designed, more than soils within one site differ.`,
      reasons,
    };
  }
  const slower = line.level.at(-1)! - line.design.at(-1)! > 2 * scatter.deviation;
  if (floor !== null && floor.value < 0.5 && slower) {
    return {
      kind: "slow",
      sentence: `Slow: the floor takes in ${timesText(floor)} its share, as if sealed by silt or smeared in digging.`,
      reasons: [`Through the sides ${soilSays}.`, ...reasons],
    };
  }
  if (soil.value < SLOW && soil.band.high !== null && soil.band.high < 1 && slower) {
    return { kind: "slow", sentence: `Slow: ${soilSays}.`, reasons };
  }
  const better = soil.band.low !== null && soil.band.low > 1;
  return { kind: "as designed", sentence: `As designed${better ? ", and better" : ""}: ${soilSays}.`, reasons };
}

/** `a sealed floor`, `a leak and a water table`, `the soil alone`. */
export function causesText(causes: readonly Cause[]): string {
  return causes.length === 0 ? "the soil alone" : causes.map((cause) => CAUSE_WORDS[cause]).join(" and ");
}

const CAUSE_WORDS: Readonly<Record<Cause, string>> = { floor: "a floor of its own", waterTable: "a water table", leak: "a leak" };

function rivalWords(models: readonly (readonly Cause[])[]): string[] {
  if (models.length < 2) return [];
  return [`The dips do not tell ${models.map(causesText).join(" from ")}: the bands are wide enough for each.`];
}

function designTable({ site: { chamberBank } }: FilledPit): number {
  return seriesLevel(chamberBank.groundwater, 0);
}

/** `0.62 times (0.55 to 0.7)`, the band's open ends in words. */
function timesText({ value, band }: FittedNumber): string {
  return `${threeFigures(value)} times (${bandText(band, threeFigures)})`;
}

/** A band in figures of any kind, its open ends in words. */
export function bandText({ low, high }: FittedNumber["band"], figure: (number: number) => string): string {
  if (low === null) return high === null ? "no bound either way" : `${figure(high)} at most`;
  return high === null ? `${figure(low)} at least` : `${figure(low)} to ${figure(high)}`;
}

function heightOver(floor: number, level: number, units: UnitSystem): string {
  return level - floor < 0.005 ? "its floor" : `${staffText(level - floor, units)} over the floor`;
}

function comparison({ dips: { time }, site }: FilledPit, { level, design }: FillLine, units: UnitSystem): string {
  const { floor } = site.chamberBank;
  const after = durationText(time.at(-1)! - time[0]!);
  return `At the last dip, ${after} after the first, there are ${staffText(level.at(-1)! - floor, units)} of water; as drawn it would be ${staffText(Math.max(0, design.at(-1)! - floor), units)}.`;
}
