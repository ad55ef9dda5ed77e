import { threeFigures, volumeText } from "../text/format.ts";
import type { STATES } from "../study/siteState.ts";
import { opensByGroundwater } from "../simulate/settledRun.ts";
import type { Site } from "../site/site.ts";
import type { Sweep, SweepCell, SweepRow } from "../study/sweep.ts";
import { plainText } from "../text/plainText.ts";
import { surfaceWords } from "../site/surfaceWords.ts";
import { capital, heightText } from "../text/words.ts";

/**
 * A sweep in a sentence, on the first of its designs: up to which storms the emitter stays shut, in which it lets out most, and where
 * water comes out elsewhere.
 */
export function sweepAnswer(sweep: Sweep): string {
  const answer = firstAnswer(sweep);
  const taken = [
    ...(sweep.designs.length === 1 ? [] : ["as the site file has it"]),
    ...(sweep.rainTimes === 1 ? [] : [`with rain times ${threeFigures(sweep.rainTimes)}`]),
  ];
  return taken.length === 0 ? answer : `${capital(taken.join(", "))}, ${answer.charAt(0).toLowerCase()}${answer.slice(1)}`;
}

function firstAnswer(sweep: Sweep): string {
  const { rows: asGiven, site } = sweep.designs[0]!;
  const rows = [...asGiven].sort((a, b) => rainOf(a) - rainOf(b));
  const last = rows.at(-1)!;
  const firing = rows.find(({ cells }) => cells.some(fires));
  const spilling = rows.find(({ cells }) => cells.some(spills));
  const out = spilling === undefined ? "" : `; water comes out ${surfaceWords(site)} in ${stormsWords(spilling.cells.filter(spills), spilling)}`;
  const counted = sweep.stopped === 0 ? "" : ` (${sweep.stopped} ${sweep.stopped === 1 ? "run" : "runs"} could not go on to the end)`;
  if (site.emitter === null) return `${capital(nearestWords(last, site))}${out}${counted}.`;
  if (firing === undefined) {
    if (rows.every(({ cells }) => cells.every(isStopped))) return `No storm could be run to its end${counted}.`;
    const run = sweep.stopped === 0 ? "" : " that could be run";
    const every = rows.length === 1 ? `every ${periodWords(last.returnPeriod)} storm${run}` : `every storm up to the ${periodWords(last.returnPeriod)} ones${run}`;
    return `The emitter stays shut in ${every}; ${nearestWords(last, site)}${out}${counted}.`;
  }
  if (firing !== undefined && opensByGroundwater(site)) {
    const lasting = last.critical.emitterVolume;
    const most = lasting === null ? "" : `, most of the ${periodWords(last.returnPeriod)} storms in that of ${plainText(lasting.duration, 20)} (${volumeText(lasting.value, site.units)})`;
    return `Groundwater opens the emitter without rain too, and runs out with it${most}${out}${counted}.`;
  }
  const before = rows.indexOf(firing) === 0 ? "The emitter" : `The emitter stays shut in every ${periodWords(rows[rows.indexOf(firing) - 1]!.returnPeriod)} storm and`;
  const most = firing.critical.emitterVolume;
  const worst = most === null ? "" : firing.cells.length === 1 ? ` (${volumeText(most.value, site.units)})`
    : `, most in ${plainText(most.duration, 20)} (${volumeText(most.value, site.units)})`;
  return `${before} fires in ${stormsWords(firing.cells.filter(fires), firing)}${worst}${out}${counted}.`;
}

/** The rain of all storms of a return period, for those of a longer one bring more, in whatever order they were asked [m]. */
function rainOf({ cells }: SweepRow): number {
  return cells.reduce((sum, { depth }) => sum + depth, 0);
}

function fires({ answers }: SweepCell): boolean {
  return answers.openTime > 0;
}

function isStopped({ answers }: SweepCell): boolean {
  return answers.stopped === 1;
}

function spills({ state }: SweepCell): boolean {
  return state === "out at the surface";
}

/** `10-year storms of 1 h to 24 h` */
function stormsWords(cells: readonly SweepCell[], { returnPeriod, cells: all }: SweepRow): string {
  const name = periodWords(returnPeriod);
  if (cells.length === all.length) return all.length === 1 ? `the ${name} storm` : `${name} storms of every duration`;
  const [first, ...others] = cells.map(({ duration }) => plainText(duration, 20)) as [string, ...string[]];
  const last = others.pop();
  if (last === undefined) return `the ${name} storm of ${first}`;
  const isStretch = all.indexOf(cells.at(-1)!) - all.indexOf(cells[0]!) === cells.length - 1;
  return `${name} storms of ${isStretch ? `${first} to ${last}` : `${[first, ...others].join(", ")} and ${last}`}`;
}

/** `10-year` for "10 year" */
export function periodWords(returnPeriod: string): string {
  return plainText(returnPeriod, 20).replace(/^(\d+(?:\.\d+)?) years?$/, "$1-year");
}

function nearestWords({ returnPeriod, cells, critical }: SweepRow, { units, settlingBoxes }: Site): string {
  if (critical.boxHeadroom === null) return `no ${periodWords(returnPeriod)} storm could be run to its end`;
  const { duration, value } = critical.boxHeadroom;
  const box = settlingBoxes.length > 1 ? "a box's water" : "the box's water";
  const storm = `in the ${periodWords(returnPeriod)} storm${cells.length === 1 ? "" : ` of ${plainText(duration, 20)}`}`;
  if (value < 0) return `${box} stands highest over its rim, ${heightText(-value, units)}, ${storm}`;
  return `${box} comes nearest to its rim, ${heightText(value, units)}, ${storm}`;
}

/** A state as a small picture has room for it. */
export const SHORT_STATE: Readonly<Record<(typeof STATES)[number], string>> = Object.freeze({
  "dry": "dry", "filling": "fills", "trench running": "trench runs", "emitter firing": "fires", "out at the surface": "out",
});
