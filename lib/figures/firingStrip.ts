import { flowText, volumeText } from "../text/format.ts";
import { toldFirings } from "../simulate/firings.ts";
import type { Run } from "../simulate/run.ts";
import { emitterTotals } from "./answer.ts";
import type { Trace } from "./figure.ts";
import { lastingText, momentText } from "../text/hours.ts";
import { lines } from "./look.ts";

/** The strip on the time axis that shows when the emitter fires. */
export interface FiringStrip {
  readonly heading: string;
  /** bars where the lid is open, and a line without ink that holds the strip where it never is */
  readonly traces: Trace[];
}

/**
 * When the emitter fires, as bars along the time axis, and in words over them.
 *
 * @returns  null where the site has no emitter
 */
export function firingStrip(run: Run, narrow: boolean): FiringStrip | null {
  const { site } = run;
  const firings = toldFirings(run);
  if (site.emitter === null) return null;
  const { color } = lines.emitter;
  const bars = firings.map(({ start, end }) => ({ start: start / 3600, end: (end ?? run.until) / 3600 }));
  return {
    heading: `<span style="color:${color}">${headingWords(run, narrow)}</span>`,
    traces: [{
      type: "scatter", name: "emitter", mode: "lines", x: [0, run.until / 3600], y: [0, 0], line: { color: "rgba(0,0,0,0)", width: 1 }, hoverinfo: "skip",
      xaxis: "x", yaxis: "y3", showlegend: false,
    }, ...(bars.length === 0 ? [] : [{
      type: "bar" as const, name: "emitter fires", x: bars.map(({ start, end }) => (start + end) / 2), y: bars.map(() => 1),
      width: bars.map(({ start, end }) => end - start),
      // The outline keeps a firing of minutes visible among days.
      marker: { color, line: { color, width: 1 } },
      customdata: firings.map(({ start, end, open, volume, peakFlow }) =>
        `${momentText(start)} ${end === null ? "on" : `for ${lastingText(open)}`}, ${volumeText(volume, site.units)}, up to ${flowText(peakFlow, site.units)}`),
      hovertemplate: "emitter fires: %{customdata}<extra></extra>", xaxis: "x" as const, yaxis: "y3" as const, showlegend: false as const,
    }])],
  };
}

function headingWords(run: Run, narrow: boolean): string {
  const totals = emitterTotals(run);
  if (totals === null) return "emitter: stays shut";
  const words = `emitter fires for ${lastingText(totals.open)}, ${volumeText(totals.volume, run.site.units)}`;
  return narrow ? words : `${words}, from ${momentText(totals.first)}, at most ${flowText(totals.peakFlow, run.site.units)}`;
}
