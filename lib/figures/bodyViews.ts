import { bodiesOf, type Run, type RunBody } from "../simulate/run.ts";
import type { OverflowTrench } from "../site/site.ts";
import { groundOfSegment, lowerEnd } from "../site/trenchGround.ts";
import type { Tone } from "./look.ts";
import { plainText } from "../text/plainText.ts";

/** How a body of a run is called and drawn. */
export interface BodyView {
  /** its name in the run */
  readonly body: string;
  /** its name in a sentence, a person's own names made fit for one line */
  readonly words: string;
  readonly tone: Tone;
  /** its lowest point [m]; a millimetre above it and lower, it counts as dry */
  readonly floor: number;
  /** where it runs over [m], and what that edge is */
  readonly brim: { readonly level: number; readonly words: string };
}

/** Depth at or below which a body counts as dry [m]: within the smoothing of the model's laws. */
export const DRY = 0.001;

/** The bodies of a run in the water's way, each with its words, its line and its edges. */
export function bodyViews(run: Pick<Run, "site" | "bodies">): BodyView[] {
  return run.bodies.map((body) => bodyView(run, body));
}

function bodyView(run: Pick<Run, "site" | "bodies">, { name: body, kind }: RunBody): BodyView {
  const { settlingBoxes, chamberBank, lowSpot, overflowTrench } = run.site;
  if (kind === "box") {
    const { floor, rim } = settlingBoxes.find(({ name }) => name === body)!;
    const words = settlingBoxes.length === 1 ? "settling box" : plainText(body, 28);
    return { body, words, tone: "box", floor, brim: { level: rim, words: "rim" } };
  }
  if (kind === "bank") return { body, words: "pit", tone: "pit", floor: chamberBank.floor, brim: { level: chamberBank.ground, words: "ground" } };
  if (kind === "lowSpot") return { body, words: "low spot", tone: "lowSpot", floor: lowSpot!.floor, brim: { level: lowSpot!.lip, words: "lip" } };
  return trenchView(overflowTrench!, body, kind, bodiesOf(run, kind));
}

/** @param alike  the trench's bodies of this kind, from the high end down */
function trenchView(trench: OverflowTrench, body: string, kind: "trench" | "pipe", alike: readonly string[]): BodyView {
  const segment = alike.indexOf(body);
  const low = trench.floor - (trench.fall * (segment + 1)) / alike.length;
  const words = `${kind === "pipe" ? "trench pipe" : "trench"}${alike.length === 1 ? "" : ` ${segment + 1}`}`;
  const brim = { level: lowerEnd(groundOfSegment(trench, segment)), words: "ground" };
  return { body, words, tone: kind, floor: kind === "pipe" ? low + trench.pipe!.rise : low, brim };
}
