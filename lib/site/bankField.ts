import { type Field, mapped, orNone, sameAs, withDefault } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { conductivityField, levelField, porosityField, shareField, sizeField, thicknessField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { countField, quantityField, wordField } from "../schema/scalarFields.ts";
import type { GivenBank } from "./facts.ts";
import { isBelow, type Judge, ROUND_OFF } from "./judge.ts";
import { levelSeriesField } from "./groundwaterField.ts";
import type { Chamber, ChamberBank, Cover } from "./site.ts";
import type { SiteFile } from "./siteFile.ts";

/** The pit with its stone and chambers. */
export function bankField(): Field<GivenBank> {
  return objectField<GivenBank>("the pit: chambers in stone, all at one level", {
    floor: levelField("level of the pit's floor, under the stone"),
    length: sizeField("length of the pit"),
    width: sizeField("width of the pit"),
    ground: levelField("level of the ground over the pit"),
    stone: objectField<GivenBank["stone"]>("the stone of the pit", {
      depth: sizeField("depth of the stone from the pit's floor to its top"),
      porosity: withDefault(porosityField("share of voids in the stone"), 0.4, "The porosity of the pit's stone is not given: 0.4 is taken (common practice)."),
      base: withDefault(thicknessField("depth of stone under the chambers"), "0 m"),
    }),
    chambers: withDefault(listField("upright perforated chambers standing in the stone", chamberField()), []),
    coverPorosity: withDefault(porosityField("share of voids between stone top and ground"), 0.05,
      "The share of voids in the soil over the pit's stone is not given: 0.05 is taken (common practice, no source)."),
    openFloorShare: withDefault(shareField("share of the floor still open to water: 1 clean, 0 sealed"), 1),
    groundwaterLevel: orNone(levelSeriesField("groundwater level at the pit, where it differs from the site's")),
    cover: coverField(),
    spillsTo: wordField("where water over the ground goes, if it stays on the site", "lowSpot"),
  });
}

function chamberField(): Field<Chamber> {
  return objectField<Chamber>("upright chambers of one size", {
    count: withDefault(countField("how many of this size", 10_000), 1),
    insideDiameter: sizeField("inside diameter of a chamber"),
    outsideDiameter: sameAs("insideDiameter", sizeField("outside diameter of a chamber")),
    height: sizeField("height of a chamber"),
    wallOpenings: orNone(openingsField()),
    gap: orNone(thicknessField("clear gap to the next chamber")),
  });
}

/** Openings as they are written, one way or the other. */
interface OpeningsEntry {
  readonly share: number | null;
  readonly count: number | null;
  readonly diameter: number | null;
}

function openingsField(): Field<Chamber["wallOpenings"]> {
  const entry = objectField<OpeningsEntry>("the holes in a chamber's wall", {
    share: orNone(shareField("clear share of the wall")),
    count: orNone(countField("number of holes in one chamber", 1_000_000)),
    diameter: orNone(sizeField("diameter of a hole")),
  }, [{ keys: ["share"] }, { keys: ["count", "diameter"] }]);
  return mapped(entry, ({ share, count, diameter }) =>
    share === null ? { count: count ?? NaN, diameter: diameter ?? NaN } : { share });
}

/** The pit: ground over stone over floor, and chambers that fit into the stone. */
export function checkBank({ chamberBank: bank }: SiteFile, judge: Judge): void {
  const { floor, ground, stone, stoneTop, chambers } = bank;
  if (ground <= floor) {
    judge.refuse("chamberBank.ground", `a level above the pit's floor (${judge.given("chamberBank.floor")})`);
  } else if (isBelow(ground, stoneTop)) {
    judge.refuse("chamberBank.ground", `a level at or above the stone top (${judge.level(stoneTop)})`);
  } else if (bank.cover !== null && ground - stoneTop <= ROUND_OFF) {
    judge.refuse("chamberBank.cover", `no cover, or ground above the stone top (${judge.level(stoneTop)})`, "a cover of no thickness");
  }
  if (isBelow(stone.depth, stone.base)) {
    judge.refuse("chamberBank.stone.base", `at most the depth of the stone (${judge.given("chamberBank.stone.depth")})`);
  }
  chambers.forEach((chamber, index) => checkChamber(chamber, `chamberBank.chambers[${index}]`, bank, judge));
  checkRoom(bank, judge);
}

function checkChamber(chamber: Chamber, where: string, { length, width, stone }: ChamberBank, judge: Judge): void {
  const { insideDiameter, outsideDiameter, height, wallOpenings } = chamber;
  if (isBelow(outsideDiameter, insideDiameter)) {
    judge.refuse(`${where}.outsideDiameter`, `at least the inside diameter (${judge.given(`${where}.insideDiameter`)})`);
  }
  if (isBelow(Math.min(length, width), outsideDiameter)) {
    const key = judge.holds(`${where}.outsideDiameter`) ? "outsideDiameter" : "insideDiameter";
    judge.refuse(`${where}.${key}`, `at most the pit's length and width (${judge.depth(Math.min(length, width))})`);
  }
  const room = stone.depth - stone.base;
  if (room >= 0 && isBelow(room, height)) {
    judge.refuse(`${where}.height`, `at most the stone above its base (${judge.depth(room)}), so that the chamber ends in the stone`);
  }
  if (wallOpenings === null || "share" in wallOpenings) return;
  const wall = Math.PI * insideDiameter * height;
  const holes = wallOpenings.count * (Math.PI / 4) * (wallOpenings.diameter * wallOpenings.diameter);
  if (holes > wall) judge.refuse(`${where}.wallOpenings`, `holes of no more than the chamber's wall (${judge.area(wall)})`, judge.area(holes));
}

/** However they are set out, the chambers' circles cannot take more than the pit's plan. */
function checkRoom({ length, width, chambers }: ChamberBank, judge: Judge): void {
  const pit = length * width;
  const taken = chambers.reduce((sum, { count, outsideDiameter }) => sum + count * (Math.PI / 4) * (outsideDiameter * outsideDiameter), 0);
  if (!(taken > pit)) return;
  const count = chambers.reduce((sum, chamber) => sum + chamber.count, 0);
  const expected = `chambers that fit into the pit's plan, chamberBank.length times chamberBank.width (${judge.area(pit)})`;
  judge.refuse("chamberBank.chambers", expected, `${count === 1 ? "one that takes" : `${count} that take`} ${judge.area(taken)}`);
}

/** Soil and turf over a body, through which its water has to rise. */
export function coverField(): Field<Cover | null> {
  return orNone(objectField<Cover>("soil and turf over the stone; without it the ground is an open rim", {
    conductivity: conductivityField("hydraulic conductivity of soil and turf, at 20 degC"),
    submergedDensity: withDefault(
      quantityField("density of the cover under water, for the note on uplift", "density", "from 1 kg/m^3 to 10000 kg/m^3"),
      "1000 kg/m^3",
    ),
  }));
}
