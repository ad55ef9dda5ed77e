import { volumeText } from "../units/format.ts";
import type { STATES } from "../study/siteState.ts";
import type { Sweep, SweepCell, SweepRow } from "../study/sweep.ts";
import { heightText } from "./heightText.ts";
import { plainText } from "./plainText.ts";

/**
 * A sweep in a sentence, on the first of its designs: up to which storms the emitter stays shut, in which it lets out most, and where
 * water comes out elsewhere.
 */
export function sweepAnswer(sweep: Sweep): string {
  const answer = firstAnswer(sweep);
  return sweep.designs.length === 1 ? answer : `As the site file has it, ${answer.charAt(0).toLowerCase()}${answer.slice(1)}`;
}

function firstAnswer(sweep: Sweep): string {
  const [{ rows, site }] = sweep.designs as [Sweep["designs"][number]];
  const firing = rows.find(({ cells }) => cells.some(fires));
  const spilling = rows.find(({ cells }) => cells.some(spills));
  const out = spilling === undefined ? "" : `; water comes out elsewhere in ${stormsWords(spilling.cells.filter(spills), spilling)}`;
  if (site.emitter === null) return `${capital(nearestWords(rows.at(-1)!, site.units))}${out}.`;
  if (firing === undefined) {
    return `The emitter stays shut in every storm up to the ${periodWords(rows.at(-1)!.returnPeriod)} ones; ${nearestWords(rows.at(-1)!, site.units)}${out}.`;
  }
  const before = rows.indexOf(firing) === 0 ? "The emitter" : `The emitter stays shut in every ${periodWords(rows[rows.indexOf(firing) - 1]!.returnPeriod)} storm and`;
  const most = firing.critical.emitterVolume!;
  return `${before} fires in ${stormsWords(firing.cells.filter(fires), firing)}, most in ${plainText(most.duration, 20)} (${volumeText(most.value, site.units)})${out}.`;
}

function fires({ answers }: SweepCell): boolean {
  return answers.openTime > 0;
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

function nearestWords({ returnPeriod, critical }: SweepRow, units: "us" | "si"): string {
  const { duration, value } = critical.boxHeadroom!;
  return `the box's water comes nearest to its rim, ${heightText(Math.max(0, value), units)}, in the ${periodWords(returnPeriod)} storm of ${plainText(duration, 20)}`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** A state as a small picture has room for it. */
export const SHORT_STATE: Readonly<Record<(typeof STATES)[number], string>> = Object.freeze({
  "dry": "dry", "filling": "fills", "trench running": "trench runs", "emitter firing": "fires", "out at the surface": "out",
});
