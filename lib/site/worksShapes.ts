import type { PlanPoint, PlanShape } from "./planShape.ts";
import type { Site } from "./site.ts";
import { turnedRectangle } from "./turnedRectangle.ts";

/** The works as shapes of the plan. */
export interface WorksShapes {
  readonly pit: PlanShape;
  readonly boxes: readonly PlanShape[];
  /** the middle line of the trench, and half of its width on either side of it [m]; null where the plan has none */
  readonly trench: { readonly line: PlanShape; readonly halfWidth: number } | null;
  readonly emitter: PlanPoint | null;
}

/** The works of a site where its plan puts them, at the sizes of the site; null without a plan. */
export function worksShapes({ surroundings, chamberBank, settlingBoxes, overflowTrench, emitter }: Site): WorksShapes | null {
  const works = surroundings?.works ?? null;
  if (works === null) return null;
  const { pit, boxes, trench } = works;
  return {
    pit: turnedRectangle(pit.at, chamberBank.length, chamberBank.width, pit.turnedDegrees),
    boxes: settlingBoxes.slice(0, boxes.length).map(({ plan }, i) => {
      const [length, width] = "diameter" in plan ? [plan.diameter, plan.diameter] : [plan.length, plan.width];
      return turnedRectangle(boxes[i]!, length, width, pit.turnedDegrees);
    }),
    trench: trench === null || overflowTrench === null ? null
      : { line: { points: trench, closed: false }, halfWidth: overflowTrench.width / 2 },
    emitter: emitter === null ? null : works.emitter ?? trench?.at(-1) ?? null,
  };
}
