import { WITHIN_SITE_FACTOR } from "../ground/test/withinSiteBand.ts";
import { seriesLevel } from "../ground/seriesLevel.ts";
import { depthText, durationText, flowText, twoFigures, type UnitSystem } from "../text/format.ts";
import { staffText } from "../text/staffText.ts";
import type { Scatter } from "./fillFit.ts";
import type { FillLine } from "./fillLine.ts";
import type { Cause, FilledPit } from "./fillModel.ts";
import type { FillFinding, FittedNumber } from "./fillTest.ts";
import { greatestOf, leastOf } from "../numerics/extremes.ts";

/** What a fill test says of the works. */
export interface FillVerdict {
  readonly kind: "as designed" | "slow" | "leaking" | "water table" | "floor sealed" | "sides smeared" | "unexplained";
  /** the verdict with its reason in numbers */
  readonly sentence: string;
  /** what else bears on it, in sentences */
  readonly reasons: readonly string[];
  /** causes that the dips ask for, each by name */
  readonly findings: readonly FillFinding[];
}

/** Soil that takes in less of what the design counts on is slow; ours, less than what two tests on one site differ by. */
const SLOW = 0.8;

/** A face that takes in less than this of the other's share is sealed or smeared; ours. */
const SEALED = 0.5;

/** Dips that lie farther about the best line than any tape, and by more than this share of their fall, fit nothing that was tried. */
const MISFIT = 0.012;
const MISFIT_SHARE = 0.025;

/**
 * The verdict, the graver first: dips that fit nothing; a leak that the dips ask for, or water that goes faster than soils within a site
 * differ; a water table above the design's; water that falls by less than four fifths of the design's pace, its whole band below, or a
 * sealed floor while the pit as a whole is slower than drawn; a floor that takes in less than half of its share, or sides that do, at
 * whatever pace; else as designed.
 *
 * @param models  causes of the model chosen and of its rivals
 */
export function fillVerdict(
  pit: FilledPit, numbers: readonly FittedNumber[], line: FillLine, models: readonly (readonly Cause[])[], scatter: Scatter,
): FillVerdict {
  const find = (name: FittedNumber["name"]): FittedNumber | null => numbers.find((number) => number.name === name) ?? null;
  const [fall, soil] = [find("fall")!, find("soil")!];
  const [level, table, floor, dry] = [find("leakLevel"), find("waterTable"), find("floor"), find("dry")];
  const { units, chamberBank } = pit.site;
  const soilSays = `the soil takes in ${timesText(soil)} what the design counts on`;
  const findings: FillFinding[] = [];
  const span = greatestOf(pit.dips.level) - leastOf(pit.dips.level);
  if (scatter.deviation > MISFIT && scatter.deviation > MISFIT_SHARE * span) {
    findings.push({ kind: "does not fit", words: `The dips lie ${depthText(scatter.deviation, units)} about the best line, more than a tape is off: none of the works that were tried would show them.` });
  }
  if (level !== null) {
    findings.push({
      kind: "leak",
      words: `Above ${heightOver(chamberBank.floor, level.value, units)} the pit loses ${flowText(find("leakFlow")!.value, units)} at the highest dip that soil cannot take in.`,
    });
  }
  const tableStands = table !== null && table.value > designTable(pit) + scatter.deviation;
  if (tableStands) {
    findings.push({
      kind: "water table",
      words: table.value > chamberBank.floor ? `The water stops falling ${staffText(table.value - chamberBank.floor, units)} above the floor.`
        : `Groundwater ${staffText(chamberBank.floor - table.value, units)} below the floor holds the water back.`,
    });
  }
  const sealed = floor !== null && floor.value < SEALED;
  const smeared = floor !== null && floor.value > 1 / SEALED;
  if (sealed) findings.push({ kind: "floor sealed", words: `The floor takes in ${timesText(floor)} its share, as if sealed by silt or smeared in digging.` });
  if (smeared) findings.push({ kind: "sides smeared", words: `The sides take in ${timesText(inverse(floor))} their share beside the floor, as if smeared in digging or lined.` });
  if (dry !== null) {
    findings.push({ kind: "dry soil", words: `An hour after the fill the soil drank ${flowText(dry.value, units)} more than it drains: dry soil. Fill once more; the second fill counts.` });
  }
  const reasons = [comparison(pit, line, units), ...rivalWords(models)];
  const slower = line.level.at(-1)! - line.design.at(-1)! > 2 * scatter.deviation;
  const said = (kind: FillVerdict["kind"], sentence: string, more: readonly string[] = []): FillVerdict => ({ kind, sentence, reasons: [...more, ...reasons], findings });
  const wordsOf = (kind: FillFinding["kind"]): string => findings.find((each) => each.kind === kind)!.words;
  if (findings[0]?.kind === "does not fit") {
    return said("unexplained", "These dips fit none of the works that were tried: something else is at work, or the readings are not what they seem.", [wordsOf("does not fit")]);
  }
  if (level !== null) return said("leaking", `Leaking: ${uncapital(wordsOf("leak"))}`, [`Below that level ${soilSays}.`]);
  if (tableStands) return said("water table", `Water table: ${uncapital(wordsOf("water table"))}`, [`Above it ${soilSays}.`]);
  if (soil.band.low !== null && soil.band.low > WITHIN_SITE_FACTOR) {
    return said("leaking", `Leaking: the water goes ${twoFigures(fall.value)} times as fast as designed, more than soils within one site differ.`);
  }
  if (sealed && slower) return said("slow", `Slow: ${uncapital(wordsOf("floor sealed"))}`, [`Through the sides ${soilSays}.`]);
  if (fall.value < SLOW && fall.band.high !== null && fall.band.high < 1 && slower) return said("slow", `Slow: ${soilSays}.`, [fallSays(fall)]);
  if (sealed) return said("floor sealed", `Floor sealed: ${uncapital(wordsOf("floor sealed"))}`, [`Through the sides ${soilSays}: it is these that empty the pit, for as long as they stay open.`]);
  if (smeared) return said("sides smeared", `Sides smeared: ${uncapital(wordsOf("sides smeared"))}`, [`With the sides as they are ${soilSays}.`]);
  const better = fall.band.low !== null && fall.band.low > 1;
  return said("as designed", `As designed${better ? ", and better" : ""}: ${soilSays}.`, [fallSays(fall)]);
}

function fallSays(fall: FittedNumber): string {
  return `The water falls ${timesText(fall)} as fast as the design's would: that is conductivity over the room in the stone, which dips tell better than either.`;
}

function inverse({ name, value, band }: FittedNumber): FittedNumber {
  return { name, value: 1 / value, band: { low: band.high === null ? 0 : 1 / band.high, high: band.low === null || band.low <= 0 ? null
    : 1 / band.low } };
}

function uncapital(words: string): string {
  return words.charAt(0).toLowerCase() + words.slice(1);
}

/** `a sealed floor`, `a leak and a water table`, `the soil alone`. */
export function causesText(causes: readonly Cause[]): string {
  return causes.length === 0 ? "the soil alone" : causes.map((cause) => CAUSE_WORDS[cause]).join(" and ");
}

const CAUSE_WORDS: Readonly<Record<Cause, string>> = { floor: "a floor of its own", waterTable: "a water table", leak: "a leak", dry: "dry soil that drinks" };

function rivalWords(models: readonly (readonly Cause[])[]): string[] {
  if (models.length < 2) return [];
  return [`The dips do not tell ${models.map(causesText).join(" from ")}: the bands are wide enough for each.`];
}

function designTable({ site: { chamberBank } }: FilledPit): number {
  return seriesLevel(chamberBank.groundwater, 0);
}

/** `0.62 times (0.55 to 0.7)`, the band's open ends in words. */
function timesText({ value, band }: FittedNumber): string {
  return `${twoFigures(value)} times (${bandText(band, twoFigures)})`;
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
  return `At the last dip that counts, ${after} after the first of these, there are ${staffText(level.at(-1)! - floor, units)} of water; as drawn it would be ${staffText(Math.max(0, design.at(-1)! - floor), units)}.`;
}
