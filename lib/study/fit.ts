import { changedSite } from "../site/changedSite.ts";
import { featureName } from "../site/featureName.ts";
import { crossingWords, isOnLot } from "../plan/holeDistances.ts";
import type { PlanPoint } from "../plane/planShape.ts";
import type { Site } from "../site/site.ts";
import { siting, type Siting } from "../plan/siting.ts";
import type { WorksPlan } from "../site/surroundings.ts";
import { worksShapes } from "../plan/worksShapes.ts";
import { lengthText } from "../text/format.ts";

/** What of the drawn pit stays where it is while it grows or shrinks: the signs say towards which end of its length and of its width. */
export interface Held {
  readonly along: -1 | 0 | 1;
  readonly across: -1 | 0 | 1;
}

/** A design put on its lot. */
export interface Fit {
  /** the design with its plan: where the pit lies, how far the trench runs */
  readonly site: Site;
  readonly held: Held;
  /**
   * whether pit and trench lie on the lot, cross nothing drawn, and keep every distance that is asked without a condition; null without a
   * plan
   */
  readonly fits: boolean | null;
  /** what they do not keep, in words; empty where they do */
  readonly faults: readonly string[];
}

/**
 * Puts works of other sizes where the drawn ones lie and looks whether they fit. The pit stays at its middle, or, where that does not
 * do, with one of its sides or corners where it is; the trench keeps its head and ends nearer or farther along its line.
 *
 * Pit and trench fit where they lie on the lot, cross nothing drawn and keep every distance that is asked without a condition, sideways and
 * down to groundwater and bedrock. Holes of boxes and pipes have no sizes here: what they cross stands in the cautions.
 *
 * @param drawn  the file's own design
 * @param sized  the same works in other sizes, its plan still the drawn one
 */
export function fitted(drawn: Site, sized: Site): Fit {
  const works = sized.surroundings?.works ?? null;
  if (works === null) {
    // features by their distance alone, and what lies under the floor, need no plan
    const faults = sized.surroundings === null ? [] : faultsOf(sized);
    return { site: sized, held: MIDDLE, fits: sized.surroundings === null ? null : faults.length === 0, faults };
  }
  let nearest: Fit | null = null;
  for (const held of sameSize(drawn, sized) ? [MIDDLE] : HELD) {
    const site = withPlan(sized, planOf(drawn, sized, works, held));
    const faults = faultsOf(site);
    const fit: Fit = { site, held, fits: faults.length === 0, faults };
    if (fit.fits === true) return fit;
    if (nearest === null || faults.length < nearest.faults.length) nearest = fit;
  }
  return nearest!;
}

const MIDDLE: Held = Object.freeze({ along: 0, across: 0 });

/** The middle first, then sides, then corners. */
const HELD: readonly Held[] = Object.freeze(
  ([[0, 0], [1, 0], [-1, 0], [0, 1], [0, -1], [1, 1], [1, -1], [-1, 1], [-1, -1]] as const).map(([along, across]) =>
    Object.freeze({ along, across })),
);

function sameSize({ chamberBank: a }: Site, { chamberBank: b }: Site): boolean {
  return a.length === b.length && a.width === b.width;
}

function planOf(drawn: Site, sized: Site, works: WorksPlan, { along, across }: Held): WorksPlan {
  const { turnedDegrees, at } = works.pit;
  const [cos, sin] = [Math.cos((turnedDegrees * Math.PI) / 180), Math.sin((turnedDegrees * Math.PI) / 180)];
  // what is held stays, so that the middle goes the other way by half of what is added
  const [u, v] = [
    (-along * (sized.chamberBank.length - drawn.chamberBank.length)) / 2,
      (-across * (sized.chamberBank.width - drawn.chamberBank.width)) / 2,
  ];
  const pit = u === 0 && v === 0 ? works.pit : { turnedDegrees, at: rounded([at[0] + u * cos - v * sin, at[1] + u * sin + v * cos],
    sized) };
  const more = (sized.overflowTrench?.length ?? 0) - (drawn.overflowTrench?.length ?? 0);
  return { ...works, pit, trench: works.trench === null || more === 0 ? works.trench : lengthened(works.trench, more, sized) };
}

/** To a thousandth of a foot or of a metre, which no plan is drawn to. */
function rounded(at: PlanPoint, { units }: Pick<Site, "units">): PlanPoint {
  const unit = units === "us" ? 0.3048 : 1;
  const [x, y] = at.map((value) => Number((value / unit).toFixed(3)) * unit);
  return [x!, y!];
}

/** A line whose last point lies so much farther along it, or nearer [m]. */
function lengthened(line: readonly PlanPoint[], more: number, site: Site): readonly PlanPoint[] {
  const points = [...line];
  let left = more;
  for (;;) {
    const [a, b] = [points.at(-2)!, points.at(-1)!];
    const side = Math.hypot(b[0] - a[0], b[1] - a[1]);
    if (side + left > 0.001 || points.length === 2) {
      const share = Math.max(0.001, side + left) / side;
      points[points.length - 1] = rounded([a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])], site);
      return points;
    }
    left += side;
    points.pop();
  }
}

function withPlan(site: Site, works: WorksPlan): Site {
  return changedSite(site, { surroundings: { ...site.surroundings!, works } });
}

function faultsOf(site: Site): string[] {
  const found = siting(site);
  const { units } = site;
  const off = (worksShapes(site)?.holes ?? []).filter((hole) => hole.soaks && !isOnLot(site, hole)).map(({ phrase }) => phrase);
  const crossed = found.rows.filter(({ distance, soaks, feature }) => distance === 0 && soaks && feature.kind !== "lowPoint" && feature.kind !== "boundary");
  return [
    ...off.map((phrase) => `${phrase} does not lie on the lot`),
    ...crossed.map((row) => crossingWords(row, units)),
    ...nearer(found, site, off.length > 0).map(({ words }) => words),
    ...found.depths.filter(({ rule, margin }) => rule.only === undefined && margin < -SLACK)
      .sort((a, b) => a.margin - b.margin).slice(0, 1)
      .map(({ rule, found: apart, asked }) => `the floor of the pit lies ${apart < 0 ? `${lengthText(-apart, units)} under` : `${lengthText(apart, units)} over`} ${rule.from}, ${lengthText(asked, units)} over it asked (${rule.says})`),
  ];
}

/** Of the setbacks that are not kept the largest one of each feature and body. */
function nearer({ setbacks, rows }: Siting, { units }: Site, isOff: boolean): readonly { readonly words: string }[] {
  const told = new Map<string, { readonly asked: number; readonly words: string }>();
  const tell = (body: string, distance: number, { feature, asked, rule }: Siting["setbacks"][number]): void => {
    if (distance - asked >= -SLACK) return;
    // what is crossed or left has been said
    if (distance === 0 && (feature.kind !== "boundary" || isOff || rows.some((row) => row.feature === feature && row.distance === 0 && row.soaks))) return;
    const key = `${body} ${featureName(feature)}`;
    if ((told.get(key)?.asked ?? 0) >= asked) return;
    told.set(key, { asked, words: `${body} lies ${lengthText(distance, units)} from ${featureName(feature)}, ${lengthText(asked, units)} asked (${rule.says})` });
  };
  for (const row of setbacks) {
    if (row.rule.only !== undefined) continue;
    tell("the pit", row.pit, row);
    if (row.trench !== null) tell("the trench", row.trench, row);
  }
  return [...told.values()];
}

/** Round-off of a plan [m]. */
const SLACK = 1e-4;

/** Which part of the drawn pit a design keeps where it is, in words: `the north side`, `the south-east corner`, `the middle`. */
export function heldWords({ site, held: { along, across } }: Pick<Fit, "site" | "held">): string {
  if (along === 0 && across === 0) return "the middle";
  const turned = ((site.surroundings?.works?.pit.turnedDegrees ?? 0) * Math.PI) / 180;
  const east = along * Math.cos(turned) - across * Math.sin(turned);
  const north = along * Math.sin(turned) + across * Math.cos(turned);
  const eighth = Math.round(Math.atan2(north, east) / (Math.PI / 4));
  return `the ${COMPASS[(eighth + 8) % 8]!} ${along !== 0 && across !== 0 ? "corner" : "side"}`;
}

const COMPASS: readonly string[] = ["east", "north-east", "north", "north-west", "west", "south-west", "south", "south-east"];
