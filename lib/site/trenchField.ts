import { leastOf } from "../numerics/extremes.ts";
import { type Field, orNone, sameAs, withDefault } from "../schema/field.ts";
import {
  flowingConductivityField, levelField, porosityField, shareField, sizeField, thicknessField, areaField, timeField,
} from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { countField, quantityField, wordField } from "../schema/scalarFields.ts";
import { coverField } from "./bankField.ts";
import type { GivenTrench, GivenTrenchPipe, GivenEmitter } from "./facts.ts";
import { isBelow, type Judge, ROUND_OFF } from "./judge.ts";
import { levelSeriesField } from "./groundwaterField.ts";
import { manningField, pipeField } from "./pipeField.ts";
import { checkPipe } from "./pipeRules.ts";
import type { OverflowTrench, TrenchGround } from "./site.ts";
import type { SiteFile } from "./siteFile.ts";
import { groundOfSegment } from "./trenchGround.ts";
import { listField } from "../schema/listField.ts";

/** The overflow trench from the pit towards the emitter. */
export function trenchField(): Field<GivenTrench | null> {
  return orNone(objectField<GivenTrench>("the stone trench that takes what the pit cannot", {
    floor: levelField("level of the trench's floor at its high end"),
    fall: withDefault(thicknessField("fall of the floor over the whole length, towards the emitter"), "0 m"),
    length: sizeField("length of the trench"),
    width: sizeField("width of the trench"),
    ground: groundField(),
    stone: objectField<GivenTrench["stone"]>("the stone of the trench", {
      depth: sizeField("depth of the stone"),
      porosity: withDefault(porosityField("share of voids in the stone"), 0.4, "The porosity of the trench's stone is not given: 0.4 is taken (common practice)."),
      hydraulicConductivity: withDefault(flowingConductivityField("hydraulic conductivity of the stone, between segments"), "0.15 m/s"),
    }),
    pipe: orNone(trenchPipeField()),
    inlet: pipeField("the pipe from the pit to the trench"),
    coverPorosity: withDefault(porosityField("share of voids between stone top and ground"), 0.05,
      "The share of voids in the soil over the trench's stone is not given: 0.05 is taken (common practice, no source)."),
    openFloorShare: withDefault(shareField("share of the floor still open to water: 1 clean, 0 sealed"), 1),
    groundwaterLevel: orNone(levelSeriesField("groundwater level at the trench, where it differs from the site's")),
    cover: coverField(),
    spillsTo: wordField("where water over the ground goes, if it stays on the site", "lowSpot"),
    // The stepper's work grows with the cube of the bodies; a trench in 50 pieces is past any use.
    segments: withDefault(countField("how many lengths in series the trench is reckoned in", 50), 1),
  }));
}

/** One level, or one at either end. */
function groundField(): Field<TrenchGround> {
  const about = "level of the ground over the trench";
  const level = levelField(about);
  const ends = objectField<TrenchGround>(`${about}, where it slopes: straight from one end to the other`, {
    high: levelField("level of the ground at the trench's high end"),
    low: levelField("level of the ground at the trench's low end"),
  });
  return {
    about,
    hole: { high: NaN, low: NaN },
    schema: { anyOf: [level.schema, ends.schema] },
    read: (value, where, findings) => {
      if (typeof value === "object" && value !== null) return ends.read(value, where, findings);
      const ground = level.read(value, where, findings);
      return { high: ground, low: ground };
    },
  };
}

function trenchPipeField(): Field<GivenTrenchPipe> {
  return objectField<GivenTrenchPipe>("the perforated pipe in the trench", {
    insideDiameter: sizeField("inside diameter of the pipe"),
    outsideDiameter: sameAs("insideDiameter", sizeField("outside diameter of the pipe")),
    bedding: withDefault(thicknessField("depth of stone under the pipe"), "0 m"),
    manningN: withDefault(manningField(), 0.01),
    openArea: orNone(quantityField("clear openings of the wall per length, which make the pipe a body of its own", "areaPerLength", "from 1e-5 cm^2/m to 100 m^2/m")),
  });
}

/** The trench: ground over stone over floor, a pipe that fits, an inlet that makes no water. */
export function checkTrench({ overflowTrench: trench, chamberBank }: SiteFile, judge: Judge): void {
  if (trench === null) return;
  checkGround(trench, judge);
  checkTrenchPipe(trench, judge);
  const slits = trench.pipe !== null && trench.pipe.openArea !== null;
  checkPipe(trench.inlet, "overflowTrench.inlet", [
    { name: "the pit's floor", floor: chamberBank.floor },
    { name: slits ? "the trench pipe's inside bottom at its high end" : "the trench's floor at its high end", floor: trench.inletFloor },
  ], judge);
}

function checkGround(trench: OverflowTrench, judge: Judge): void {
  const { floor, ground, lowFloor, stoneTop } = trench;
  let stands = true;
  const refuse = (end: "high" | "low", expected: string): void => {
    judge.refuse(groundKey(judge, end), expected);
    stands = false;
  };
  if (ground.high <= floor) refuse("high", `a level above the trench's floor (${judge.given("overflowTrench.floor")})`);
  else if (isBelow(ground.high, stoneTop.high)) refuse("high", `a level at or above the stone top at the high end (${judge.level(stoneTop.high)})`);
  // the floor falls, so that one level which is right at the high end is right at the low one
  if (ground.low !== ground.high) {
    if (ground.low <= lowFloor) refuse("low", `a level above the trench's floor at its low end (${judge.level(lowFloor)})`);
    else if (isBelow(ground.low, stoneTop.low)) refuse("low", `a level at or above the stone top at the low end (${judge.level(stoneTop.low)})`);
  }
  if (stands && trench.cover !== null && leastCover(trench) <= ROUND_OFF) {
    judge.refuse("overflowTrench.cover", `no cover, or ground above the stone top (${judge.level(stoneTop.high)})`, "a cover of no thickness");
  }
}

/** The thickness of a cover is that at mid length of the trench, or of each segment; it runs straight along the trench [m]. */
function leastCover(trench: OverflowTrench): number {
  const { floor, fall, stone, segments } = trench;
  return leastOf([0, segments - 1].map((segment) => {
    const { high, low } = groundOfSegment(trench, segment);
    return (high + low) / 2 - (floor - (fall * (segment + 0.5)) / segments + stone.depth);
  }));
}

/** Where the file gives the ground at an end: by itself, or as one level. */
export function groundKey(judge: Judge, end: "high" | "low"): string {
  const own = `overflowTrench.ground.${end}`;
  return judge.holds(own) ? own : "overflowTrench.ground";
}

function checkTrenchPipe({ pipe, stone, width }: OverflowTrench, judge: Judge): void {
  if (pipe === null) return;
  const where = "overflowTrench.pipe";
  const { insideDiameter, outsideDiameter, bedding, openArea } = pipe;
  if (isBelow(outsideDiameter, insideDiameter)) {
    judge.refuse(`${where}.outsideDiameter`, `at least the inside diameter (${judge.given(`${where}.insideDiameter`)})`);
  }
  const key = judge.holds(`${where}.outsideDiameter`) ? "outsideDiameter" : "insideDiameter";
  if (isBelow(width, outsideDiameter)) {
    judge.refuse(`${where}.${key}`, `at most the trench's width (${judge.given("overflowTrench.width")})`);
  }
  if (isBelow(stone.depth, bedding)) {
    judge.refuse(`${where}.bedding`, `at most the depth of the stone (${judge.given("overflowTrench.stone.depth")})`);
  } else if (isBelow(stone.depth, bedding + outsideDiameter)) {
    judge.refuse(`${where}.${key}`, `at most the stone above its bedding (${judge.depth(stone.depth - bedding)})`);
  }
  const wall = Math.PI * insideDiameter;
  if (openArea !== null && openArea > wall) judge.refuse(`${where}.openArea`, "no more than the pipe's whole wall");
}

/** The surface emitter at the trench's low end. */
export function emitterField(): Field<GivenEmitter | null> {
  return orNone(objectField<GivenEmitter>("the lid at the trench's low end through which water comes up", {
    crest: levelField("level the water has to rise over"),
    diameter: sizeField("diameter of the opening"),
    opensAtHead: withDefault(sizeField("head over the crest at which the lid opens"), "12 mm",
      "The head that lifts the emitter's lid is not given: 12 mm, half an inch, is taken (common practice, no source)."),
    closesAtHead: withDefault(thicknessField("head over the crest at which the lid falls shut"), "3 mm",
      "The head at which the emitter's lid falls shut is not given: 3 mm, an eighth of an inch, is taken (common practice, no source)."),
    tailwater: orNone(levelField("level of the water outside the lid")),
    weepHole: orNone(objectField<NonNullable<GivenEmitter["weepHole"]>>("a hole through which the emitter drains into the soil", {
      diameter: sizeField("diameter of the hole"),
      elevation: levelField("level of the hole"),
      soakArea: withDefault(areaField("area of soil that the pocket round the hole wets"), "0.1 m^2",
        "The area of soil that the weep hole's pocket wets is not given: 0.1 m², about a square foot, is taken (common practice, no source)."),
    })),
    dischargesTo: wordField("where the emitter's water goes, if it stays on the site", "lowSpot"),
    heldShut: withDefault(listField("when the lid cannot open (ice, roots)", shutField()), []),
  }));
}

function shutField(): Field<GivenEmitter["heldShut"][number]> {
  return objectField("a time the lid is held shut", {
    from: timeField("from, counted from the start of the run"),
    to: timeField("to, counted from the start of the run"),
  });
}
