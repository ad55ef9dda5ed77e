import type { OverflowTrench, Site } from "../site/site.ts";
import { groundOfSegment, lowerEnd } from "../site/trenchGround.ts";
import type { Tone } from "./look.ts";
import { plainText } from "./plainText.ts";

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

/** Water this deep and less is none [m]: within the smoothing of the model's laws. */
export const DRY = 0.001;

/**
 * The bodies of a run in the water's way, each with its words, its line and its edges.
 *
 * @param site    of the run
 * @param bodies  the run's own list
 * @throws RangeError  when a body is none of the site
 */
export function bodyViews(site: Site, bodies: readonly string[]): BodyView[] {
  return bodies.map((body) => bodyView(site, body));
}

function bodyView(site: Site, body: string): BodyView {
  const box = site.settlingBoxes.find(({ name }) => name === body);
  if (box !== undefined) {
    const words = site.settlingBoxes.length === 1 ? "settling box" : plainText(box.name, 28);
    return { body, words, tone: "box", floor: box.floor, brim: { level: box.rim, words: "rim" } };
  }
  if (body === "chamberBank") {
    const { floor, ground } = site.chamberBank;
    return { body, words: "pit", tone: "pit", floor, brim: { level: ground, words: "ground" } };
  }
  if (body === "lowSpot" && site.lowSpot !== null) {
    const { floor, lip } = site.lowSpot;
    return { body, words: "low spot", tone: "lowSpot", floor, brim: { level: lip, words: "lip" } };
  }
  const part = /^(overflowTrench|trenchPipe)(?: (\d+))?$/.exec(body);
  if (part === null || site.overflowTrench === null) {
    throw new RangeError(`body: expected one of the site ${JSON.stringify(site.name)}, got ${JSON.stringify(body)}`);
  }
  return trenchView(site.overflowTrench, body, part[1] === "trenchPipe", part[2]);
}

function trenchView(trench: OverflowTrench, body: string, isPipe: boolean, segment: string | undefined): BodyView {
  const share = segment === undefined ? 1 : Number(segment) / trench.segments;
  const floor = trench.floor - trench.fall * share;
  const words = `${isPipe ? "trench pipe" : "trench"}${segment === undefined ? "" : ` ${segment}`}`;
  const ground = segment === undefined ? trench.ground : groundOfSegment(trench, Number(segment) - 1);
  const brim = { level: lowerEnd(ground), words: "ground" };
  if (!isPipe || trench.pipe === null) return { body, words, tone: "trench", floor, brim };
  return { body, words, tone: "pipe", floor: floor + trench.pipe.rise, brim };
}
