import { describe } from "../text/describe.ts";
import type { Field } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { levelField } from "../schema/measureFields.ts";
import { firstCrossing, type PlanPoint, ringArea, sidesOf } from "../plane/planShape.ts";

/** A point of the plan, written `["12 ft", "30 ft 6 in"]`: east, then north, of the plan's own origin. */
export function pointField(about: string): Field<PlanPoint> {
  const measure = levelField("east or north of the plan's origin");
  return {
    about,
    hole: [NaN, NaN],
    schema: { description: about, type: "array", items: measure.schema, minItems: 2 },
    read: (value, where, findings) => {
      if (!Array.isArray(value) || value.length !== 2) {
        findings.problems.push({ where, expected: 'a point [east, north] such as ["12 ft", "30 ft"]', got: describe(value) });
        return [NaN, NaN];
      }
      return [measure.read(value[0], `${where}[0]`, findings), measure.read(value[1], `${where}[1]`, findings)];
    },
  };
}

/** A line through two points or more, whatever it crosses. */
export function lineField(about: string): Field<readonly PlanPoint[]> {
  return pointsField(about, 2, "a line of 2 points or more");
}

/** A ring of points in either sense, its last joined to its first: three or more that enclose an area, no side across another. */
export function outlineField(about: string): Field<readonly PlanPoint[]> {
  const points = pointsField(about, 3, "an outline of 3 points or more");
  return {
    ...points,
    read: (value, where, findings) => {
      const before = findings.problems.length;
      const ring = points.read(value, where, findings);
      if (findings.problems.length > before) return [];
      const crossing = firstCrossing(sidesOf({ points: ring, closed: true }));
      if (crossing !== null) {
        const [one, other] = crossing.map((side) => `the side from point ${side + 1} to point ${((side + 1) % ring.length) + 1}`);
        findings.problems.push({ where, expected: "an outline whose sides do not cross", got: `one in which ${one} crosses ${other}` });
      } else if (ringArea(ring) < LEAST_AREA) {
        findings.problems.push({ where, expected: "an outline that encloses an area", got: "points on one line" });
      }
      return ring;
    },
  };
}

/** A hundredth of a hand's breadth squared: less is round-off of points on one line [m2]. */
const LEAST_AREA = 1e-6;

function pointsField(about: string, least: number, expected: string): Field<readonly PlanPoint[]> {
  const list = listField(about, pointField("a point of it"), 1);
  return {
    ...list,
    schema: { ...list.schema, minItems: least },
    read: (value, where, findings) => {
      if (Array.isArray(value) && value.length >= least) return list.read(value, where, findings);
      findings.problems.push({ where, expected, got: describe(value) });
      return [];
    },
  };
}
