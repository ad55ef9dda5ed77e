import type { Run } from "../simulate/run.ts";
import type { Tone } from "./look.ts";
import { plainText } from "./plainText.ts";

/** A flow of a run that a picture shows: its words, its colour, and the flow itself. */
export interface FlowRow {
  readonly words: string;
  readonly tone: Tone;
  /** [m3/s] at a time [s], forward positive */
  readonly flow: (time: number) => number;
}

/**
 * The passages of a run in the water's way, named for people. Spills are among them only where water came over.
 */
export function flowRows(run: Run): FlowRow[] {
  return run.passages
    .map((passage) => ({ passage, words: passageWords(run, passage) }))
    .filter(({ passage, words }) => words !== null && (!/Spill$|Overflow$/.test(passage) || flows(run, passage)))
    .sort((a, b) => a.words!.order - b.words!.order)
    .map(({ passage, words }) => ({ words: words!.words, tone: words!.tone, flow: (time) => run.flow(passage, time) }));
}

interface Words {
  readonly words: string;
  readonly tone: Tone;
  readonly order: number;
}

const WORDS: Readonly<Record<string, Words>> = Object.freeze({
  boxOutlet: { words: "box to pit", tone: "box", order: 1 },
  boxSpill: { words: "over the box rim", tone: "box", order: 2 },
  bankSeepage: { words: "pit to soil", tone: "pit", order: 3 },
  bankSpill: { words: "out of the ground over the pit", tone: "pit", order: 4 },
  trenchInlet: { words: "pit to trench", tone: "trench", order: 5 },
  trenchSeepage: { words: "trench to soil", tone: "trench", order: 6 },
  trenchSpill: { words: "out of the ground over the trench", tone: "trench", order: 7 },
  weep: { words: "weep hole to soil", tone: "emitter", order: 8 },
  emitter: { words: "out of the emitter", tone: "emitter", order: 9 },
});

function passageWords(run: Run, passage: string): Words | null {
  const known = WORDS[passage];
  if (known !== undefined) return known;
  // Of several boxes or segments each passage carries the name of its own.
  const part = /^(\w+) (.+)$/.exec(passage);
  const kind = part === null ? undefined : WORDS[part[1]!];
  if (part === null || kind === undefined) return { words: plainText(passage, 40), tone: "still", order: 10 };
  return { ...kind, words: `${kind.words} (${plainText(part[2]!, 20)})` };
}

function flows(run: Run, passage: string): boolean {
  return run.times.some((time) => Math.abs(run.flow(passage, time)) > NO_FLOW);
}

/** A litre in three hours [m3/s]: less is not worth a line. */
export const NO_FLOW: number = 1e-7;
