import { power } from "../numerics/powers.ts";
import type { Emitter, Pipe } from "../site/site.ts";
import { segmentArea } from "../works/circle.ts";
import { GRAVITY } from "../works/gravity.ts";
import { emitterSill } from "./exits.ts";
import { bodiesOf, type Run } from "./run.ts";
import { worstMoment } from "./worstMoment.ts";

export type HeadPlace = "boxOutlet" | "pit" | "trenchInlet" | "trench" | "emitter";
export type HeadPart = "entrance" | "entranceLimit" | "shut" | "friction" | "bends" | "exit" | "drop" | "along" | "lid" | "velocity";

/** One loss of head on the water's way; negative where the water stands higher behind it. */
export interface HeadLoss {
  readonly place: HeadPlace;
  readonly part: HeadPart;
  /** [m] */
  readonly head: number;
}

/** Where the head goes between the water in a box and the emitter's jet, at one moment of a run. */
export interface HeadBudget {
  /** [s] */
  readonly time: number;
  readonly box: string;
  /** flow out of the box, into the trench and out of the emitter [m3/s]; 0 if missing */
  readonly flow: { readonly boxOutlet: number; readonly trenchInlet: number; readonly emitter: number };
  /** level of the water in the box, and of what the budget ends at: the emitter's sill, the trench's or the pit's water [m] */
  readonly from: number;
  readonly to: number;
  readonly endsAt: "emitter" | "trench" | "pit";
  /** water levels on the way, the box's first [m] */
  readonly levels: readonly { readonly body: string; readonly level: number }[];
  /** in the water's way; their sum is from - to */
  readonly losses: readonly HeadLoss[];
  /** half width of the band in which the difference of two levels of the survey lies: sqrt(2) x its error [m] */
  readonly surveyBand: number;
}

/**
 * The head from a box's water to the emitter's jet, each loss in its place. Every pipe's level difference is shared out as
 *
 *   entrance, bends, exit  k v^2/2g,      friction  2 g n^2 L/(D/4)^(4/3) v^2/2g,      v = Q/seg(D, d)
 *
 * and where its entrance passes less than the full pipe would, what is over is the entrance's; a fall from the pipe's crest
 * to lower water behind it is a drop. At the emitter the head over the sill is the jet's velocity head, (Q/A)^2/2g, and
 * what the lid and its rim take. The slits of a trench pipe lie beside this way, not on it.
 *
 * @param options.time         [s], default the run's worst moment: a box's water nearest to its rim
 * @param options.box          name, default the box of the worst moment
 * @param options.surveyError  of one level of the survey [m], default that of the site; where it gives none a quarter of an inch,
 *                             common practice for a builder's level over a lot
 * @throws RangeError  for a time outside the run, a box it has not got, or a survey error below 0
 */
export function headBudget(
  run: Run, options: { readonly time?: number; readonly box?: string; readonly surveyError?: number } = {},
): HeadBudget {
  const { site } = run;
  const worst = worstMoment(run);
  const { time = worst.time, box: name = worst.box, surveyError = run.site.surveyError } = options;
  if (!(surveyError >= 0)) throw new RangeError(`surveyError: expected 0 m or more, got ${surveyError}`);
  const box = site.settlingBoxes.find((each) => each.name === name);
  if (box === undefined) throw new RangeError(`box: expected one of ${site.settlingBoxes.map((each) => each.name).join(", ")}, got "${name}"`);

  const level = (body: string): number => run.level(body, time);
  const flow = (passage: string): number => (run.passages.includes(passage) ? run.flow(passage, time) : 0);
  const outlet = site.settlingBoxes.length > 1 ? `boxOutlet ${name}` : "boxOutlet";
  const flows = { boxOutlet: flow(outlet), trenchInlet: flow("trenchInlet"), emitter: flow("emitter") };
  const levels = [name, "chamberBank"].map((body) => ({ body, level: level(body) }));
  const losses = pipeLosses("boxOutlet", box.outlet, flows.boxOutlet, level(name), level("chamberBank"), "pit");

  const way = bodiesOf(run, "pipe");
  const trench = way.length > 0 ? way : bodiesOf(run, "trench");
  if (site.overflowTrench !== null) {
    for (const each of trench.map((body) => ({ body, level: level(body) }))) levels.push(each);
    const [first, last] = [level(trench[0]!), level(trench.at(-1)!)];
    for (const each of pipeLosses("trenchInlet", site.overflowTrench.inlet, flows.trenchInlet, level("chamberBank"), first, "trench")) losses.push(each);
    if (trench.length > 1) losses.push({ place: "trench", part: "along", head: first - last });
  }
  const end = levels.at(-1)!.level;
  const sill = site.emitter === null ? null : emitterSill(run, site.emitter, time);
  if (sill !== null) for (const each of jetLosses(site.emitter!, flows.emitter, end - sill)) losses.push(each);
  return {
    time, box: name, flow: flows, from: level(name), to: sill ?? end,
    endsAt: sill !== null ? "emitter" : site.overflowTrench !== null ? "trench" : "pit",
    levels, losses,
    surveyBand: Math.SQRT2 * surveyError,
  };
}

/** A pipe's level difference in parts that add up to it. */
function pipeLosses(
  place: "boxOutlet" | "trenchInlet", pipe: Pipe, flow: number, before: number, after: number, into: "pit" | "trench",
): HeadLoss[] {
  const { crest } = pipe;
  const [up, down] = [Math.max(before, crest), Math.max(after, crest)];
  const x = up - down;
  // what is not lost in the pipe: the fall behind its crest, or water that does not come up to it
  const drop = before - after - x;
  const { diameter, length, manningN } = pipe;
  const depth = Math.max(up, down) - crest;
  const velocity = depth > 0 ? Math.abs(flow) / segmentArea(diameter, depth) : 0;
  const perLoss = (velocity * velocity) / (2 * GRAVITY);
  const parts: Record<"entrance" | "friction" | "bends" | "exit", number> = {
    entrance: pipe.entranceLoss * perLoss,
    friction: ((2 * GRAVITY * (manningN * manningN) * length) / power(diameter / 4, 4 / 3)) * perLoss,
    bends: pipe.bendLoss * perLoss,
    exit: pipe.exitLoss * perLoss,
  };
  const sum = parts.entrance + parts.friction + parts.bends + parts.exit;
  const size = Math.abs(x);
  const runsFull = sum > 0 && sum >= size - SMOOTHED;
  const share = Math.sign(x) * (runsFull ? size / sum : 1);
  const losses: HeadLoss[] = Object.entries(parts).map(([part, head]) => ({ place, part: part as HeadPart, head: share * head }));
  const rest = runsFull ? 0 : Math.sign(x) * (size - sum);
  losses.splice(1, 0, { place, part: flow === 0 ? "shut" : "entranceLimit", head: rest });
  losses.push({ place: into, part: "drop", head: drop });
  return losses.filter(({ head }) => head !== 0);
}

/**
 * How far the parts may be from the level difference and still be a full pipe's [m]: its law's root is smooth over 1 mm at
 * rest, x - x^2/sqrt(x^2 + e^2) <= 0.3 e.
 */
const SMOOTHED = 3.1e-4;

function jetLosses({ diameter }: Emitter, flow: number, head: number): HeadLoss[] {
  const velocity = flow / ((Math.PI / 4) * (diameter * diameter));
  const jet = (velocity * velocity) / (2 * GRAVITY);
  return [
    { place: "emitter", part: "lid", head: head - jet },
    { place: "emitter", part: "velocity", head: jet },
  ];
}
