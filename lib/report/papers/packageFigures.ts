import { greatestOf } from "../../numerics/extremes.ts";
import { breakEvenRain, rainToFill } from "../../simulate/rainToFill.ts";
import { exits } from "../../simulate/exits.ts";
import type { Run } from "../../simulate/run.ts";
import type { Site } from "../../site/site.ts";
import { takeOff } from "../../plan/takeOff.ts";
import { ANSWERS, type AnswerName } from "../../study/answerRow.ts";
import { SHARES, type HowSure } from "../../study/howSure.ts";
import type { HowOften } from "../../study/often.ts";
import type { Sweep } from "../../study/sweep.ts";
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

/** Of every storm on every design what a reader would ask for first. */
export function sweepFigures({ designs }: Sweep): PackageFigure[] {
  return designs.flatMap(({ name: design, rows }) => rows.flatMap(({ cells }) => cells.flatMap(({ returnPeriod, duration, answers }) => (
    (["pitPeak", "emitterVolume", "spilled"] as const).map((answer) => answerFigure(`sweep, ${design}, ${returnPeriod}, ${duration}`, answer, answers[answer]))
  ))));
}

/** The band of every answer, and the chances. */
export function sureFigures({ answers, firing, spilling }: HowSure): PackageFigure[] {
  return [
    ...Object.entries(answers).filter(([answer]) => answer !== "stopped").flatMap(([answer, quantiles]) => quantiles
      .map((value, i) => answerFigure(`sure, at or below in ${100 * SHARES[i]!} of 100`, answer as AnswerName, value))),
    figure("sure: share of cases in which the emitter opens", "", firing.share), figure("sure: share of cases in which water comes out elsewhere", "", spilling.share),
  ];
}

/** The averages of the years, and what is reached once in a number of years. */
export function oftenFigures({ average, longestWet, once }: HowOften): PackageFigure[] {
  return [
    figure("often: firing storms a year", "", average.firingStorms), figure("often: storms a year with water out elsewhere", "", average.spillStorms),
    figure("often: let out by the emitter a year", "m3", average.emitterVolume), figure("often: out elsewhere a year", "m3", average.spilled),
    figure("often: runs in a year", "m3", average.inflow), figure("often: share of the time the pit is above half", "", average.aboveHalf),
    figure("often: longest wet spell", "s", longestWet),
    ...once.flatMap(({ years, stormVolume, peak }) => [
      figure(`often, once in ${years} years: let out in a storm`, "m3", stormVolume.value), figure(`often, once in ${years} years: highest level of the pit`, "m", peak.value),
    ]),
  ];
}

function answerFigure(of: string, answer: AnswerName, value: number | null): PackageFigure {
  return figure(`${of}: ${answer}`, ANSWERS.find(({ name }) => name === answer)!.unit, value);
}

/** Seven figures: more than any input deserves, fewer than differ between machines. What is under a millionth of a unit is nothing. */
function figure(name: string, unit: string, value: number | null): PackageFigure {
  return { name, unit, value: value === null || !Number.isFinite(value) ? null : Math.abs(value) < 1e-9 ? "0" : String(Number(value.toPrecision(7))) };
}
