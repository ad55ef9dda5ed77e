import { power, sineAndCosine } from "../numerics/powers.ts";
import { combinedHoles, type CombinedHoles } from "../ground/test/combinedHoles.ts";
import type { SoilTest, SoilTestResults } from "../ground/test/soilTest.ts";
import { type ConductivityFrom, usedConductivity } from "../ground/test/usedConductivity.ts";
import type { Band } from "../ground/test/withinSiteBand.ts";
import type { PlanPoint } from "../plane/planShape.ts";
import { describe } from "../text/describe.ts";
import { type Field, orNone } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { thicknessField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { nameField } from "../schema/scalarFields.ts";
import { pointField } from "./planFields.ts";
import type { ChamberBank, Site, SoilLayer } from "./site.ts";

/** One of several test holes of a layer, with its place and what it says by itself. */
export interface TestHole {
  readonly name: string;
  /** on the plan, or `null` where its distance is given */
  readonly at: PlanPoint | null;
  /** from the pit's edge [m]; null where neither the file nor its plan tells */
  readonly fromPit: number | null;
  readonly test: SoilTest["kind"];
  readonly result: SoilTestResults[SoilTest["kind"]];
  /** what a layer would take of it alone, and the band around that [m/s] */
  readonly conductivity: number;
  readonly band: Band;
}

/** As it is written. */
export interface HoleEntry {
  readonly name: string;
  readonly at: PlanPoint | null;
  readonly fromPit: number | null;
  readonly test: { readonly test: TestHole["test"]; readonly result: TestHole["result"] } | null;
}

/** Two test holes or more of one layer, each with its place. */
export function testHolesField(test: Field<HoleEntry["test"]>): Field<readonly HoleEntry[]> {
  const hole = objectField<HoleEntry>("a test hole with its place", {
    name: nameField("what the hole is called"),
    at: orNone(pointField("its place on the plan")),
    fromPit: orNone(thicknessField("or how far it lies from the pit's edge")),
    test,
  }, [{ keys: ["at"], beside: [] }, { keys: ["fromPit"] }]);
  const list = listField(ABOUT, hole, 1);
  return {
    ...list,
    schema: { ...list.schema, minItems: 2 },
    read: (value, where, findings) => {
      if (Array.isArray(value) && value.length >= 2) return list.read(value, where, findings);
      findings.problems.push({ where, expected: 'a list of two holes or more, each { "name", "at" or "fromPit", "test" } (a single one is "test")', got: describe(value) });
      return [];
    },
  };
}

const ABOUT = "several test holes of the layer, each with its place: it takes their geometric mean, or the hole nearest to the pit where that is slower";

/** Holes as they are read: the distance of those on the plan is not known before the whole file is. */
export function holesOf(entries: readonly HoleEntry[], from: ConductivityFrom): TestHole[] {
  return entries.flatMap(({ name, at, fromPit, test }) => (
    test === null ? [] : [{ name, at, fromPit, ...test, ...usedConductivity(test.result, from) }]));
}

/** The layer of some holes; without any of which something is known it says nothing. */
export function layerOfHoles(top: number, holes: readonly TestHole[]): SoilLayer {
  if (holes.length < 2) return { top, conductivity: NaN, origin: null };
  const { conductivity, band, mean, taken } = combinedHoles(holes, nearestOf(holes));
  return { top, conductivity, origin: { kind: "tests", holes, band, mean, taken } };
}

/** Layers of several holes once the plan says how far each of them lies from the pit. */
export function soilWithPlaces(
  { soil, surroundings, chamberBank }: Pick<Site, "soil" | "surroundings"> & { readonly chamberBank: Pick<ChamberBank, "length" | "width"> },
): Site["soil"] {
  const pit = surroundings?.works?.pit ?? null;
  if (pit === null) return soil;
  const [across, along] = sineAndCosine((pit.turnedDegrees * Math.PI) / 180);
  const away = ([east, north]: PlanPoint): number => {
    const [x, y] = [east - pit.at[0], north - pit.at[1]];
    const beside = [Math.abs(x * along + y * across) - chamberBank.length / 2, Math.abs(y * along - x * across) - chamberBank.width / 2];
    return Math.sqrt(beside.reduce((sum, each) => sum + power(Math.max(0, each), 2), 0));
  };
  return {
    ...soil,
    layers: soil.layers.map((layer) => (layer.origin?.kind !== "tests" ? layer
      : layerOfHoles(layer.top, layer.origin.holes.map((hole) => (hole.at === null ? hole : { ...hole, fromPit: away(hole.at) }))))),
  };
}

/** Which hole is nearest to the pit; null where the place of one is not known. */
export function nearestOf(holes: readonly Pick<TestHole, "fromPit">[]): number | null {
  if (holes.some(({ fromPit }) => fromPit === null || Number.isNaN(fromPit))) return null;
  return holes.reduce((nearest, { fromPit }, i) => (fromPit! < holes[nearest]!.fromPit! ? i : nearest), 0);
}

/** Every test hole of a soil once, though it may tell of several layers. */
export function allHoles({ layers }: Site["soil"]): TestHole[] {
  const holes = layers.flatMap(({ origin }) => (origin?.kind === "tests" ? origin.holes : []));
  return holes.filter(({ name }, i) => holes.findIndex((other) => other.name === name) === i);
}

/** Whether a layer's conductivity was measured in the ground. */
export function isTested({ origin }: SoilLayer): boolean {
  return origin?.kind === "test" || origin?.kind === "tests";
}

/** Where the conductivity of several holes comes from. */
export interface HolesOrigin extends Pick<CombinedHoles, "band" | "mean" | "taken"> {
  readonly kind: "tests";
  readonly holes: readonly TestHole[];
}
