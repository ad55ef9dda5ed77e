import { greatestOf } from "../../numerics/extremes.ts";
import { breakEvenRain, rainToFill } from "../../simulate/rainToFill.ts";
import { exits } from "../../simulate/exits.ts";
import type { Run } from "../../simulate/run.ts";
import type { Site } from "../../site/site.ts";
import { takeOff } from "../../plan/takeOff.ts";
import type { StormRun } from "../summary.ts";

/** A figure that a package carries, to be computed again: its name, and SI to seven figures; null for what is not reached. */
export interface PackageFigure {
  readonly name: string;
  readonly unit: string;
  readonly value: string | null;
}

/** Every figure of a site and its storms that a check computes again. */
export function packageFigures(site: Site, storms: readonly StormRun[]): PackageFigure[] {
  const fill = rainToFill(site);
  const { dig, fill: stone, lay } = takeOff(site);
  return [
    figure("room before water comes out", "m3", fill.freeVolume), figure("level at which water comes out", "m", fill.level), figure("rain that fills the works", "m", fill.rain), figure("break-even rain", "m/s", breakEvenRain(site)),
    ...exits(site).map(({ kind, name, level }) => figure(`exit ${kind}${name === null ? "" : ` ${name}`}`, "m", level)),
    figure("dig", "m3", dig.volume), figure("stone to order", "m3", stone.ordered), figure("fabric off the roll", "m2", lay.fabric.total),
    ...storms.flatMap(({ name, run }) => runFigures(run).map((each) => ({ ...each, name: `${name}: ${each.name}` }))),
  ];
}

function runFigures(run: Run): PackageFigure[] {
  const { peaks, bodies, firings, openTime, emitted, spilled, drainDown, ledger } = run;
  return [
    ...bodies.flatMap(({ name }) => [figure(`highest level of ${name}`, "m", peaks[name]!.level), figure(`and when, ${name}`, "s", peaks[name]!.time)]),
    figure("firings", "", firings.length), figure("first firing", "s", firings[0]?.start ?? null), figure("open time", "s", openTime), figure("let out by the emitter", "m3", emitted), figure("greatest flow of the emitter", "m3/s", firings.length === 0 ? null : greatestOf(firings.map(({ peakFlow }) => peakFlow))),
    figure("to the surface elsewhere", "m3", spilled), figure("half empty after", "s", drainDown.half), figure("empty after", "s", drainDown.empty),
    ...Object.entries(ledger).filter(([key]) => key !== "error").map(([key, value]) => figure(`ledger ${key}`, "m3", value as number)),
  ];
}

/** Seven figures: more than any input deserves, fewer than differ between machines. What is under a millionth of a unit is nothing. */
function figure(name: string, unit: string, value: number | null): PackageFigure {
  return { name, unit, value: value === null || !Number.isFinite(value) ? null : Math.abs(value) < 1e-9 ? "0" : String(Number(value.toPrecision(7))) };
}
