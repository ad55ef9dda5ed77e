import type { Run } from "../simulate/run.ts";
import type { Site } from "../site/site.ts";
import { DRY } from "./bodyViews.ts";
import { lines } from "./look.ts";
import { DEEP_WATER, rectangle, THIN, type DrawnArea, type Point } from "./sectionArea.ts";
import type { SectionPlan } from "./sectionPlan.ts";

/** The bed of the low spot from edge to edge, its true shape: h = h1 (r/R)^p. */
export function hollowLine({ lowSpot }: Site, plan: SectionPlan): Point[] {
  if (lowSpot === null || plan.lowSpot === null) return [];
  const { from, to } = plan.lowSpot;
  const middle = (from + to) / 2;
  return Array.from({ length: 41 }, (_, i) => i / 20 - 1).map((share) =>
    [middle + (share * (to - from)) / 2, lowSpot.floor + (lowSpot.lip - lowSpot.floor) * Math.abs(share) ** lowSpot.shape]);
}

/** The water in the low spot, over its bed; what stands over the lip is drawn as far as the section goes. */
export function hollowWater(run: Run, time: number, plan: SectionPlan): DrawnArea[] {
  if (plan.lowSpot === null) return [];
  const level = run.level("lowSpot", time);
  const bed = hollowLine(run.site, plan).filter(([, bottom]) => bottom < level);
  const { floor, lip, shape } = run.site.lowSpot!;
  if (level - floor <= DRY || bed.length === 0) return [];
  const { from, to } = plan.lowSpot;
  const half = (Math.min(1, (level - floor) / Math.max(lip - floor, DRY)) ** (1 / shape) * (to - from)) / 2;
  const middle = (from + to) / 2;
  return [{ points: [[middle - half, level], ...bed, [middle + half, level]], fill: DEEP_WATER }];
}

/** The shaft of a grate from the pit's stone up, its bars across. */
export function grateArea(run: Run, time: number, plan: SectionPlan): DrawnArea[] {
  if (plan.grate === null) return [];
  const { chamberBank, lowSpot } = run.site;
  const [foot, top] = [chamberBank.stoneTop, lowSpot!.grate!.level];
  const level = Math.max(Math.min(foot, top), Math.min(top, run.level("chamberBank", time)));
  return [
    { points: rectangle(plan.grate, foot, top), fill: "#ffffff" },
    { points: rectangle(plan.grate, foot, level), fill: DEEP_WATER },
    { points: rectangle(plan.grate, foot, top), line: THIN },
    { points: [[plan.grate.from, top], [plan.grate.to, top]], line: { color: lines.lowSpot.color, width: 4, dash: "dot" } },
  ];
}
