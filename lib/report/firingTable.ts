import { greatestOf } from "../numerics/extremes.ts";
import { displayUnits, flowText, threeFigures, volumeText, type DisplayUnit, type UnitSystem } from "../text/format.ts";
import { emitterTotals, groundwaterOut } from "../figures/answer.ts";
import { lastingText, momentText } from "../text/hours.ts";
import { flutterWords, toldFirings, type ToldFiring } from "../simulate/firings.ts";
import type { Run } from "../simulate/run.ts";
import { clockTime, type RunClock } from "../text/clockText.ts";
import { html, type Markup } from "./markup.ts";

/**
 * What the emitter does in a run: its sums, then its longest firings in order of time; null where a site has none.
 *
 * @param clock  of rain with dates: openings are then given by the clock too
 */
export function firingTable(run: Run, clock: RunClock | null = null): Markup | null {
  const { site, events } = run;
  const firings = toldFirings(run);
  const flutters = flutterWords(firings);
  if (site.emitter === null) return null;
  const totals = emitterTotals(run);
  if (totals === null) return html`<h3>${events.some(({ kind }) => kind === "lidHeld") ? "The emitter's lid is held shut" : "The emitter stays shut"}</h3>`;
  const ground = groundwaterOut(run);
  const { units } = site;
  const shown = longest(firings, MOST_FIRINGS);
  const rest = firings.filter((firing) => !shown.includes(firing)).reduce((sum, { volume }) => sum + volume, 0);
  const volume = volumeUnit(shown.map((firing) => firing.volume), units);
  const flow = displayUnits(units).flow;
  return html`<div class="together"><h3>The emitter ${ground === null ? "fires" : "is open"} for ${lastingText(totals.open)} in all and lets out ${volumeText(totals.volume, units)}</h3>
${ground === null ? null : html`<p>Groundwater stands at the level that lifts its lid or over it, and runs out whether it rains or not: ${volumeText(ground.volume, units)} of it even without the rain.</p>`}
<p>${firings[0]!.start === 0 ? "It stands open from the start and" : ground === null ? `It first opens at ${momentText(totals.first)} and` : "It"} lets out ${flowText(totals.peakFlow, units)} at most, in ${firings.length === 1 ? "one firing" : `${firings.length} firings`}.${flutters === null ? "" : ` ${flutters}`}</p>
<div class="scroll" role="region" aria-label="Firings of the emitter" tabindex="0"><table>
<thead><tr><th scope="col">opens at</th>${clock === null ? null : html`<th scope="col">by the clock</th>`}<th scope="col">open for</th><th scope="col">lets out, ${volume.label}</th><th scope="col">at most, ${flow.label}</th></tr></thead>
<tbody>${shown.map((firing) => html`<tr><th scope="row">${firing.start === 0 ? "open from the start" : momentText(firing.start)}</th>${clock === null ? null : html`<td>${clockMoment(clock, firing.start)}</td>`}
<td>${firing.end === null ? `still open at ${momentText(run.until)}` : lastingText(firing.open)}</td><td>${figure(firing.volume, volume)}</td><td>${figure(firing.peakFlow, flow)}</td></tr>`)}</tbody>
</table></div>
${shown.length < firings.length ? html`<p>And ${restWords(firings.length - shown.length)}, ${volumeText(rest, units)}.</p>` : null}</div>`;
}

function clockMoment(clock: RunClock, time: number): string {
  const { day, time: at } = clockTime(clock, time);
  return `${at}, ${day}`;
}

// What one sees at a glance; more of them tell nothing, for their number hangs on the lid's two heads.
const MOST_FIRINGS = 6;

function longest(firings: readonly ToldFiring[], count: number): ToldFiring[] {
  return [...firings].sort((a, b) => b.open - a.open).slice(0, count).sort((a, b) => a.start - b.start);
}

/** One unit for a column: litres where none of its volumes reaches a cubic metre. */
function volumeUnit(volumes: readonly number[], units: UnitSystem): DisplayUnit {
  return units === "si" && greatestOf(volumes) < 1 ? { label: "L", size: 0.001 } : displayUnits(units).volume;
}

function figure(si: number, { size }: DisplayUnit): string {
  return threeFigures(si / size);
}

function restWords(count: number): string {
  return count === 1 ? "one shorter one" : `${count} shorter ones`;
}
