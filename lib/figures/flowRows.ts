import { passagesOf, type Run } from "../simulate/run.ts";
import type { Tone } from "./look.ts";
import { plainText } from "../text/plainText.ts";

/** A flow of a run that a picture shows: its words, its colour, and the flow itself. */
export interface FlowRow {
  readonly words: string;
  readonly tone: Tone;
  /** [m3/s] at a time [s], forward positive */
  readonly flow: (time: number) => number;
}

/**
 * The flows of a run in the water's way, named for people: each box's own, the segments of a trench summed up, what only
 * runs within a trench left out. Spills are among them only where water came over.
 */
export function flowRows(run: Run): FlowRow[] {
  const rows: (FlowRow & { readonly isQuiet: boolean })[] = [];
  for (const { kind, words, tone } of KINDS) {
    const passages = passagesOf(run, kind);
    const groups = kind.startsWith("box") ? passages.map((passage) => [passage]) : passages.length === 0 ? [] : [passages];
    for (const group of groups) {
      const flow = (time: number): number => group.reduce((sum, passage) => sum + run.flow(passage, time), 0);
      const box = group[0]!.slice(kind.length + 1);
      rows.push({ words: kind.startsWith("box") && box !== "" ? `${words} (${plainText(box, 20)})` : words, tone, flow, isQuiet: SILENT_UNLESS_WET.test(kind) });
    }
  }
  const dry = new Set(rows.filter(({ isQuiet }) => isQuiet));
  // all at one moment, then at the next: a run works its flows all at once
  for (const time of run.times) for (const row of dry) if (Math.abs(row.flow(time)) > NO_FLOW) dry.delete(row);
  return rows.filter((row) => !dry.has(row));
}

/** A litre in three hours [m3/s]: less is not worth a line. */
export const NO_FLOW: number = 1e-7;

const SILENT_UNLESS_WET = /Spill$|Overflow$/;

const KINDS: readonly { readonly kind: string; readonly words: string; readonly tone: Tone }[] = Object.freeze([
  { kind: "boxOutlet", words: "box to pit", tone: "box" },
  { kind: "boxSpill", words: "over the box rim", tone: "box" },
  { kind: "grate", words: "grate to pit", tone: "lowSpot" },
  { kind: "bankSeepage", words: "pit to soil", tone: "pit" },
  { kind: "bankSpill", words: "up through the ground at the pit", tone: "pit" },
  { kind: "trenchInlet", words: "pit to trench", tone: "trench" },
  { kind: "trenchSeepage", words: "trench to soil", tone: "trench" },
  { kind: "trenchSpill", words: "up through the ground at the trench", tone: "trench" },
  { kind: "weep", words: "weep hole to soil", tone: "emitter" },
  { kind: "emitter", words: "out of the emitter", tone: "emitter" },
  { kind: "lowSpotSeepage", words: "low spot to soil", tone: "lowSpot" },
  { kind: "lowSpotOverflow", words: "over the lip of the low spot", tone: "lowSpot" },
]);
