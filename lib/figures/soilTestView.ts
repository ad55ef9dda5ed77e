import { greatestOf } from "../numerics/extremes.ts";
import type { ConstantHeadResult } from "../ground/test/constantHeadTest.ts";
import type { FallingHeadResult, FillResult, PercolationHoleResult } from "../ground/test/soilTestResult.ts";
import { usedConductivity } from "../ground/test/usedConductivity.ts";
import { displayUnits, durationText, intensityText, threeFigures, type UnitSystem } from "../text/format.ts";

/** A soil test as a picture shows it: readings with the line through them, and what the line leaves over. */
export interface SoilTestView {
  readonly fills: readonly DrawnFill[];
  /** which of them is the result */
  readonly governing: number;
  readonly acrossLabel: string;
  /** places of the figures on that axis, where they are counts; null for times */
  readonly counts: readonly number[] | null;
  readonly upLabel: string;
  /** unit of the upright axis, for labels */
  readonly upUnit: string;
  readonly answer: string;
  readonly subtitle: string;
}

/** In the units of the axes. */
export interface DrawnFill {
  readonly name: string;
  readonly at: readonly number[];
  readonly reading: readonly number[];
  /** null where two readings are met exactly */
  readonly residual: readonly number[] | null;
  readonly line: { readonly at: readonly number[]; readonly value: readonly number[] };
}

/** A test in which the water falls: each fill counted from its own first reading, so that one lies over the other. */
export function fallingHeadView(result: FallingHeadResult, units: UnitSystem): SoilTestView {
  const { label, size } = displayUnits(units).depth;
  const clock = clockOf(greatestOf(result.fills.map(({ time }) => time.at(-1)! - time[0]!)));
  const several = result.fills.length > 1;
  // the figure of the line, where the answer is the lower one
  const byGravity = usedConductivity(result, "lower").conductivity < result.hydraulicConductivity ? " by gravity" : "";
  return {
    fills: result.fills.map((fill, i): DrawnFill => ({
      name: `${several ? `fill ${i + 1}: ` : ""}${intensityText(fill.hydraulicConductivity, units)}${byGravity}`,
      at: Array.from(fill.time, (time) => (time - fill.time[0]!) / clock.size),
      reading: Array.from(fill.depth, (depth) => depth / size),
      residual: fill.residualDeviation === null ? null : Array.from(fill.residual, (residual) => residual / size),
      line: {
        at: Array.from(fill.line.time, (time) => (time - fill.time[0]!) / clock.size),
        value: Array.from(fill.line.depth, (depth) => depth / size),
      },
    })),
    governing: result.governing,
    acrossLabel: `${clock.label} since the first reading`,
    counts: null,
    upLabel: `water in the hole, ${label}`,
    upUnit: label,
    answer: result.drained ? drainedAnswer(result, "the fall of the water", units) : undrainedAnswer(result, units),
    subtitle: fitWords(result.fills[result.governing]!, several ? result.governing + 1 : null, units),
  };
}

/** A test in which the water is held: the readings of the flow one after the other, and their mean. */
export function constantHeadView(result: ConstantHeadResult, units: UnitSystem): SoilTestView {
  const litresPerHour = 1 / 3_600_000;
  const reading = Array.from(result.residual, (residual) => (result.flow + residual) / litresPerHour);
  const mean = result.flow / litresPerHour;
  return {
    fills: [{
      name: `mean ${threeFigures(mean)} L/h`,
      at: reading.map((_, i) => i + 1),
      reading,
      residual: reading.length < 2 ? null : Array.from(result.residual, (residual) => residual / litresPerHour),
      line: { at: [0.5, reading.length + 0.5], value: [mean, mean] },
    }],
    governing: 0,
    acrossLabel: "reading",
    counts: reading.flatMap((_, i) => (i % Math.ceil(reading.length / 12) === 0 ? [i + 1] : [])),
    upLabel: "flow that holds the water, L/h",
    upUnit: "L/h",
    answer: drainedAnswer(result, "the flow over the floor", units),
    subtitle: `by ${result.method}, from ${reading.length === 1 ? "one reading" : `${reading.length} readings`}`,
  };
}

type Result = FallingHeadResult | PercolationHoleResult | ConstantHeadResult;

function drainedAnswer(result: Result, seen: string, units: UnitSystem): string {
  const { naive, naiveFactor } = result;
  const { conductivity, band } = usedConductivity(result, "lower");
  const { size } = displayUnits(units).intensity;
  const factor = naiveFactor! >= 1 ? `${threeFigures(naiveFactor!)} times too high` : `${threeFigures(1 / naiveFactor!)} times too low`;
  return `The soil takes in ${intensityText(conductivity, units)}, within the site ${threeFigures(band.low / size)} to `
    + `${intensityText(band.high, units)}; ${seen} alone would have said ${intensityText(naive, units)}, ${factor}.`;
}

function undrainedAnswer(result: FallingHeadResult, units: UnitSystem): string {
  const { time } = result.fills[result.governing]!;
  return `In ${durationText(time.at(-1)! - time[0]!)} the water does not fall by more than the readings can show: this hole does not drain, or takes in `
    + `${intensityText(usedConductivity(result, "lower").band.high, units)} at most.`;
}

function fitWords({ residualDeviation, depth }: FillResult, number: number | null, units: UnitSystem): string {
  const fill = number === null ? "" : ` of fill ${number}, the slowest`;
  if (residualDeviation === null) return `from two readings${fill}, which leave no residual to judge by`;
  const { label, size } = displayUnits(units).depth;
  return `fitted to ${depth.length} readings${fill}; they lie ${threeFigures(residualDeviation / size)} ${label} about the line`;
}

/** A unit in which a test's time has two or three figures. */
function clockOf(span: number): { readonly label: string; readonly size: number } {
  if (span < 3 * 3600) return { label: "minutes", size: 60 };
  return span < 4 * 86400 ? { label: "hours", size: 3600 } : { label: "days", size: 86400 };
}
