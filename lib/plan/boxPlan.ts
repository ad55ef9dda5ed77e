import type { MaterialFigures } from "../site/materials.ts";
import type { SettlingBox } from "../site/site.ts";

/** Plan of a box with its walls, and of the rectangle it stands in [m, m2]. */
export function boxPlan({ plan }: Pick<SettlingBox, "plan">, { boxWall }: Pick<MaterialFigures, "boxWall">): {
  readonly length: number; readonly width: number; readonly area: number;
} {
  if ("diameter" in plan) {
    const across = plan.diameter + 2 * boxWall;
    return { length: across, width: across, area: (Math.PI / 4) * across ** 2 };
  }
  const [length, width] = [plan.length + 2 * boxWall, plan.width + 2 * boxWall];
  return { length, width, area: length * width };
}
