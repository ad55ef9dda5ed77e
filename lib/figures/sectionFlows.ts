import { flowText } from "../text/format.ts";
import { flowOfKind, type Run } from "../simulate/run.ts";
import type { OverflowTrench } from "../site/site.ts";
import type { Annotation } from "./figure.ts";
import { NO_FLOW } from "./flowRows.ts";
import { letterSizes, lines } from "./look.ts";
import { NARROW } from "./plotEdges.ts";
import { groundwaterAt } from "./sectionDrawing.ts";
import type { SectionPlan, Stretch } from "./sectionPlan.ts";
import { HALO, sectionText, type Scale } from "./sectionText.ts";

/**
 * What goes into the soil around the pit, as arrows with a figure: down from its floor, or out of its walls where groundwater
 * stands above the floor, between the two waters; up through the floor where groundwater comes in.
 */
export function soilArrows(run: Run, time: number, plan: SectionPlan, scale: Scale, size: number): Annotation[] {
  const flow = run.flow("bankSeepage", time);
  if (Math.abs(flow) < NO_FLOW) return [];
  const { floor } = run.site.chamberBank;
  const down = flow > 0;
  const around = groundwaterAt(run, time);
  const beside = down && around > floor;
  const weight = arrowWeight(run, flow);
  const arrows = beside ? wallArrows(plan, weight, (around + Math.min(run.level("chamberBank", time), run.site.chamberBank.stoneTop)) / 2, size, scale)
    : [0.2, 0.5, 0.8].map((share): Annotation => ({
      ...sectionText("", plan.pit.from + share * (plan.pit.to - plan.pit.from), floor - (down ? 30 : 6) / scale.up, size, lines.pit.color),
      showarrow: true, ax: 0, ay: down ? -24 : 24, arrowcolor: lines.pit.color, arrowwidth: weight, arrowhead: 3,
    }));
  const words = `${flowText(Math.abs(flow), run.site.units)} ${down ? "into the soil" : "of groundwater in"}`;
  return [...arrows, {
    ...sectionText(words, (plan.pit.from + plan.pit.to) / 2, floor - (beside ? 6 : 36) / scale.up, size, lines.pit.color),
    xanchor: "center", yanchor: "top", bgcolor: HALO,
  }];
}

/** The stroke of an arrow by its flow, against what soaks away at the highest water, or comes in before the rain [px]. */
function arrowWeight(run: Run, flow: number): number {
  let most = MOST.get(run);
  if (most === undefined) {
    most = Math.max(Math.abs(run.flow("bankSeepage", run.peaks["chamberBank"]!.time)), Math.abs(run.flow("bankSeepage", 0)));
    MOST.set(run, most);
  }
  return 0.9 + 2 * Math.sqrt(Math.min(1, Math.abs(flow) / Math.max(1e-12, most)));
}

const MOST = new WeakMap<Run, number>();

/** Out of both walls of the pit at a level. */
function wallArrows({ pit }: SectionPlan, weight: number, level: number, size: number, scale: Scale): Annotation[] {
  return ([[pit.from, -1], [pit.to, 1]] as const).map(([wall, away]): Annotation => ({
    ...sectionText("", wall + (away * 24) / scale.across, level, size, lines.pit.color),
    showarrow: true, ax: -20 * away, ay: 0, arrowcolor: lines.pit.color, arrowwidth: weight, arrowhead: 3,
  }));
}

/** Water on its way out at the surface, or down the grate: an arrow where it leaves, and how much. */
export function surfaceArrows(run: Run, time: number, plan: SectionPlan, width: number): Annotation[] {
  const { site } = run;
  const { small: size } = letterSizes(width);
  const flow = (kind: string): number => flowOfKind(run, kind, time);
  const middle = ({ from, to }: Stretch): number => (from + to) / 2;
  const places = [
    ...site.settlingBoxes.map(({ name, rim }, i) => ({
      out: run.flow(site.settlingBoxes.length > 1 ? `boxSpill ${name}` : "boxSpill", time), along: plan.boxes[i]!.from, level: rim, tone: "box" as const,
    })),
    { out: flow("bankSpill"), along: middle(plan.pit), level: site.chamberBank.ground, tone: "pit" as const },
    ...(plan.trench === null ? [] : [{ out: flow("trenchSpill"), ...overTrench(site.overflowTrench!, plan.trench), tone: "trench" as const }]),
    ...(plan.grate === null ? [] : [{ out: -flow("grate"), along: middle(plan.grate), level: site.lowSpot!.grate!.level, tone: "lowSpot" as const }]),
    ...(plan.lowSpot === null ? [] : [{ out: flow("lowSpotOverflow"), along: plan.lowSpot.to, level: site.lowSpot!.lip, tone: "lowSpot" as const }]),
  ];
  return places.filter(({ out }) => Math.abs(out) > NO_FLOW).map(({ out, along, level, tone }): Annotation => ({
    // a narrow picture has no room for more figures than the levels
    ...sectionText(width < NARROW ? "" : flowText(Math.abs(out), site.units), along, level, size, lines[tone].color),
    // a text at the arrow's tail: up out of the ground where water leaves, down into it where it enters
    showarrow: true, ax: 0, ay: -30, xanchor: "center", yanchor: "bottom", arrowcolor: lines[tone].color, arrowwidth: 2, arrowhead: 3, bgcolor: HALO,
    ...(out > 0 ? { arrowside: "start" as const, startarrowhead: 3 as const } : {}),
  }));
}

/** Where water comes up first over the trench: in the middle of a level ground, near the lower end of one that slopes. */
function overTrench({ ground: { high, low } }: OverflowTrench, { from, to }: Stretch): { along: number; level: number } {
  const share = high === low ? 0.5 : low < high ? 0.9 : 0.1;
  return { along: from + share * (to - from), level: high + share * (low - high) };
}
