import { soilTexture, type SoilTexture, textureNames } from "../ground/soilTexture.ts";
import { soilTest, type SoilTest, type SoilTestResults } from "../ground/test/soilTest.ts";
import { SORPTIVE_NUMBER } from "../ground/test/sorptiveNumber.ts";
import { type ConductivityFrom, usedConductivity } from "../ground/test/usedConductivity.ts";
import { choiceField } from "../schema/choiceField.ts";
import { type Field, type Findings, gathered, type JsonSchema, mapped, orNone, withDefault } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { conductivityField, levelField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { flagField, numberField, quantityField } from "../schema/scalarFields.ts";
import type { Judge } from "./judge.ts";
import type { LevelSeries, Soil, SoilLayer } from "./site.ts";
import type { SiteFile } from "./siteFile.ts";
import { type HoleEntry, holesOf, layerOfHoles, testHolesField } from "./testHoles.ts";

/** A test in the ground and what came of it. */
export interface ReadTest {
  readonly test: SoilTest["kind"];
  readonly result: SoilTestResults[SoilTest["kind"]];
}

/**
 * A test in the ground, distinguished by its `kind`. `soilTest` reads and checks it; the schema beside it says the same keys once
 * more for editors, and a test holds the two against each other.
 */
export function soilTestField(): Field<ReadTest | null> {
  return {
    about: ABOUT,
    hole: null,
    schema: { description: ABOUT, oneOf: [PERCOLATION_HOLE, TRIAL_PIT, BOREHOLE, CONSTANT_HEAD] },
    read: (value, where, findings) => {
      const test = withoutGaps(value, 0) as SoilTest;
      const result = gathered(findings, () => soilTest(test, where));
      if (result === null || tooFast(result.hydraulicConductivity, where, findings)) return null;
      return { test: test.kind, result };
    },
  };
}

/** A list of a program may have gaps, which no reader visits; as values they are refused. */
function withoutGaps(value: unknown, depth: number): unknown {
  // fills, a fill, its times
  if (typeof value !== "object" || value === null || depth > 3) return value;
  if (Array.isArray(value)) return Array.from<unknown, unknown>(value, (item) => withoutGaps(item, depth + 1));
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, withoutGaps(inner, depth + 1)]));
}

const ABOUT = "a test in the ground, from which the conductivity is computed";

/** The bound that a conductivity has which is given itself; no soil comes near. */
function tooFast(conductivity: number, where: string, findings: Findings): boolean {
  if (conductivity <= 10) return false;
  findings.problems.push({ where, expected: "readings that come to a conductivity of 10 m/s at most", got: `${conductivity.toPrecision(3)} m/s` });
  return true;
}

// The keys of each kind, as an editor shows them.

const LENGTH: JsonSchema = { $ref: "#/definitions/length" };
const TIME: JsonSchema = { $ref: "#/definitions/time" };
const FLOW: JsonSchema = { $ref: "#/definitions/flow" };

function key(description: string, schema: JsonSchema): JsonSchema {
  return { description, allOf: [schema] };
}

function listOf(items: JsonSchema, minItems = 1): JsonSchema {
  return { type: "array", items, minItems };
}

function oneOrSeveral(schema: JsonSchema): JsonSchema {
  return { anyOf: [schema, listOf(schema)] };
}

function kind(name: SoilTest["kind"], description: string, required: readonly string[], properties: JsonSchema, either?: JsonSchema): JsonSchema {
  return {
    description,
    type: "object",
    properties: { kind: { description: "which test it was", enum: [name] }, ...properties },
    required: ["kind", ...required],
    additionalProperties: false,
    ...either,
  };
}

const NEVER: JsonSchema = { enum: ["never"] };

const READINGS: JsonSchema = {
  type: "object",
  properties: {
    time: key("times of the readings, rising", listOf(TIME, 2)),
    depth: key("water in the hole at each, from its bottom up", listOf(LENGTH, 2)),
    down: key("or the tape: from its mark down to the water", listOf(LENGTH, 2)),
  },
  required: ["time"],
  additionalProperties: false,
  oneOf: [{ required: ["depth"] }, { required: ["down"] }],
};

/** @param short  how a fill may be given in short, if it may */
function fills(short?: { readonly key: string; readonly schema: JsonSchema }): JsonSchema {
  const one = short === undefined ? READINGS
    : { oneOf: [READINGS, { type: "object", properties: { [short.key]: short.schema }, required: [short.key], additionalProperties: false }] };
  return { description: "each fill of this one hole, in turn, by its readings or in short; the slowest fill governs", ...listOf(one) };
}

const WATCHED: JsonSchema = key("how long a hole that never drained was watched", TIME);
const BOTTOM_DOWN: JsonSchema = key("from the tape's mark down to the bottom of the hole", LENGTH);
const STONE: JsonSchema = { description: "share of voids of stone in the hole; 1 for an open one", type: "number", minimum: 0.01, maximum: 1 };

const SORPTIVE: JsonSchema = {
  description: "of the soil: 0.36 coarse sand, 0.12 most structured soils, 0.04 fine ones without structure, 0.01 compacted clay",
  type: "number", minimum: SORPTIVE_NUMBER.least, maximum: SORPTIVE_NUMBER.most,
};

const AN_INCH = {
  description: "minutes for the water to fall an inch, as a number or as \"30 min/in\"",
  anyOf: [{ type: "number", minimum: 0.001, maximum: 1e7 }, { type: "string", pattern: "^\\s*[\\d.]+ ?(min/in|mpi)\\s*$" }],
} as const;

const PERCOLATION_HOLE: JsonSchema = kind("percolationHole", "a percolation test in a round hole above the water table", ["diameter"], {
  diameter: key("diameter of the hole", LENGTH),
  waterDepth: key("depth of water at the start of the inch", LENGTH),
  minutesPerInch: { ...AN_INCH, anyOf: [...AN_INCH.anyOf, NEVER] },
  watched: WATCHED,
  fills: fills({ key: "minutesPerInch", schema: AN_INCH }),
  bottomDown: BOTTOM_DOWN,
  stonePorosity: STONE,
  texture: { description: "texture of the soil in the hole, if known; not beside sorptiveNumber_perCm", enum: textureNames() },
  sorptiveNumber_perCm: SORPTIVE,
}, { oneOf: [{ required: ["waterDepth", "minutesPerInch"] }, { required: ["fills"] }] });

const TRIAL_PIT: JsonSchema = kind("trialPit", "a soakage test in a rectangular pit above the water table", ["length", "width"], {
  length: key("length of the pit", LENGTH),
  width: key("width of the pit", LENGTH),
  waterDepth: key("depth of water that counts as full", LENGTH),
  time75to25: { description: "from three quarters full to one quarter, or never", anyOf: [TIME, NEVER] },
  watched: WATCHED,
  fills: fills({ key: "time75to25", schema: key("from three quarters full to one quarter", TIME) }),
  bottomDown: BOTTOM_DOWN,
  stonePorosity: STONE,
}, { oneOf: [{ required: ["waterDepth", "time75to25"] }, { required: ["fills"] }] });

const BOREHOLE: JsonSchema = kind("borehole", "a falling-head test in a borehole that reaches the water table", ["diameter", "openLength", "fills"], {
  diameter: key("diameter of the open length, or of the casing's end", LENGTH),
  casingDiameter: key("diameter of the pipe in which the water falls", LENGTH),
  openLength: key("uncased length below the water table; 0 m for a casing open at its end only", LENGTH),
  fills: fills(),
  waterTableDown: key("from the tape's mark down to the resting water table", LENGTH),
});

const CONSTANT_HEAD: JsonSchema = kind("constantHead", "a round hole in which the water was held at one depth", ["diameter", "waterDepth", "flow"], {
  diameter: key("diameter of the hole", LENGTH),
  waterDepth: key("depth of water that was held", LENGTH),
  flow: { description: "what it took to hold it, once steady, or a list of readings", ...oneOrSeveral(FLOW) },
  sorptiveNumber_perCm: SORPTIVE,
  waterTableBelow: key("from the water in the hole down to the water table", LENGTH),
});

/** The soil as it is written: its layers' conductivities in one of four ways. */
interface SoilEntry extends Omit<Soil, "layers"> {
  readonly layers: readonly LayerEntry[];
}

/** The soil around the pit and the trench. */
export function soilField(): Field<Soil> {
  return mapped(objectField<SoilEntry>("the soil around pit and trench", {
    layers: listField("layers of soil from the top down", layerField(), 1),
    floor: withDefault(flagField("whether the floors of pit and trench take in water"), true),
    sides: withDefault(flagField("whether the sides of pit and trench take in water"), true),
    factorOfSafety: withDefault(
      numberField("every conductivity of the soil is divided by it", "from 0.01 to 1000"),
      1,
    ),
    conductivityFrom: withDefault(
      mapped(choiceField<ConductivityFrom>(CONDUCTIVITY_FROM, ["lower", "hole"]), (word) => word ?? "lower"),
      "lower",
    ),
    // 20 degC is the temperature at which conductivities are stated.
    temperature: withDefault(
      quantityField("temperature of the water in the soil", "temperature", "from 0 to 60 degC"),
      "20 degC",
    ),
  }), (soil) => ({ ...soil, layers: soil.layers.map((layer) => layerOf(layer, soil.conductivityFrom)) }));
}

const CONDUCTIVITY_FROM = "which figure of a percolation hole its layer takes: the lower, or the hole's own by gravity alone";

/** A layer as it is written: its conductivity in one of four ways. */
interface LayerEntry {
  readonly top: number | null;
  readonly conductivity: number | null;
  readonly test: ReadTest | null;
  readonly tests: readonly HoleEntry[] | null;
  readonly texture: SoilTexture | null;
}

/** The first layer also lies above its top, so that one without a top reaches up without end. */
function layerField(): Field<LayerEntry> {
  return objectField<LayerEntry>("a layer of soil, down to the next one's top", {
    top: orNone(levelField("level of the layer's top; only the first layer may do without")),
    conductivity: orNone(conductivityField("hydraulic conductivity of the layer, at 20 degC")),
    test: orNone(soilTestField()),
    tests: orNone(testHolesField(soilTestField())),
    texture: orNone(textureField()),
  }, [{ keys: ["conductivity"] }, { keys: ["test"] }, { keys: ["tests"] }, { keys: ["texture"] }]);
}

function layerOf({ top, conductivity, test, tests, texture }: LayerEntry, from: ConductivityFrom): SoilLayer {
  const level = top ?? Infinity;
  if (test !== null) {
    const used = usedConductivity(test.result, from);
    return { top: level, conductivity: used.conductivity, origin: { kind: "test", ...test, band: used.band } };
  }
  if (tests !== null) return layerOfHoles(level, holesOf(tests, from));
  if (texture !== null) return { top: level, conductivity: texture.hydraulicConductivity, origin: { kind: "texture", texture } };
  return { top: level, conductivity: conductivity ?? NaN, origin: null };
}

function textureField(): Field<SoilTexture | null> {
  const about = "texture of the layer, where nothing was measured: the published conductivity of soils of that name";
  return {
    about,
    hole: null,
    schema: { description: about, enum: textureNames() },
    read: (value, where, findings) => gathered(findings, () => soilTexture(value as string, where)),
  };
}

/** Layers one below the other. */
export function checkLayers({ soil }: SiteFile, judge: Judge): void {
  soil.layers.forEach(({ top }, index) => {
    if (index === 0) return;
    const where = `soil.layers[${index}].top`;
    const above = soil.layers[index - 1]!.top;
    if (top === Infinity) judge.refuse(where, "a level: only the first layer may do without its top", "nothing");
    else if (top >= above) judge.refuse(where, `a level below the top of the layer above it (${judge.level(above)})`);
  });
}

/** Groundwater whose times go forward, and a mound that stands on something. */
export function checkGroundwater({ groundwater, chamberBank, overflowTrench, lowSpot }: SiteFile, judge: Judge): void {
  checkTimes("groundwater.level", groundwater.level, judge);
  checkTimes("chamberBank.groundwaterLevel", chamberBank.groundwaterLevel, judge);
  checkTimes("overflowTrench.groundwaterLevel", overflowTrench?.groundwaterLevel ?? null, judge);
  checkTimes("lowSpot.groundwaterLevel", lowSpot?.groundwaterLevel ?? null, judge);
  if (groundwater.mounding !== null && groundwater.level === null && chamberBank.groundwaterLevel === null) {
    judge.refuse("groundwater.level", "a level for the mound to stand on", "nothing");
  }
}

function checkTimes(where: string, series: LevelSeries | null, judge: Judge): void {
  if (series === null) return;
  series.time.forEach((time, index) => {
    if (index > 0 && time <= series.time[index - 1]!) {
      judge.refuse(`${where}[${index}].time`, `a time after the one before it (${judge.given(`${where}[${index - 1}].time`)})`);
    }
  });
}
