import { type Field, type Findings, mapped, orNone } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { levelField, sizeField } from "../schema/measureFields.ts";
import { type FieldsOf, objectField } from "../schema/objectField.ts";
import { nameField, wordField } from "../schema/scalarFields.ts";
import type { GivenBox } from "./facts.ts";
import { isBelow, type Judge } from "./judge.ts";
import { pipeField } from "./pipeField.ts";
import { checkPipe } from "./pipeRules.ts";
import type { SettlingBox } from "./site.ts";
import type { SiteFile } from "./siteFile.ts";

/** The boxes: rim over floor, outlets that make no water, names that name one body each. */
export function checkBoxes({ boxesInList: inList, settlingBoxes: boxes, chamberBank }: SiteFile, judge: Judge): void {
  const seen = new Set<string>();
  boxes.forEach((box, index) => {
    const where = inList ? `settlingBox[${index}]` : "settlingBox";
    if (inList) checkName(box.name, `${where}.name`, seen, judge);
    checkBox(box, where, judge);
    checkPipe(box.outlet, `${where}.outlet`, [
      { name: "the box's floor", floor: box.floor },
      { name: "the pit's floor", floor: chamberBank.floor },
    ], judge);
  });
}

// Bodies of a run that are not boxes, and a key that no object can hold as its own.
const TAKEN = /^(?:settlingBox|chamberBank|lowSpot|(?:overflowTrench|trenchPipe)(?: \d+)?|__proto__)$/;

function checkName(name: string, where: string, seen: Set<string>, judge: Judge): void {
  if (name === "") return;
  if (TAKEN.test(name)) judge.refuse(where, "a name that is not taken by another body");
  if (seen.has(name)) judge.refuse(where, "a name that no other box has");
  seen.add(name);
}

function checkBox({ floor, rim, outlet }: SettlingBox, where: string, judge: Judge): void {
  if (rim <= floor) judge.refuse(`${where}.rim`, `a level above the box's floor (${judge.given(`${where}.floor`)})`);
  // The box starts full to its outlet's crest, and cannot start fuller than its rim.
  else if (isBelow(rim, outlet.crest)) {
    const key = outlet.outletInvert > outlet.invert ? "outletInvert" : "invert";
    judge.refuse(`${where}.outlet.${key}`, `a level at or below the box's rim (${judge.given(`${where}.rim`)})`);
  }
}

/** The boxes of a file, and whether they stand in a list, each with its own name. */
export interface BoxesEntry {
  readonly inList: boolean;
  readonly boxes: readonly GivenBox[];
}

/** One settling box, which needs no name, or a list of boxes with names. */
export function boxesField(): Field<BoxesEntry> {
  const about = "the settling box the roof water runs into first, or a list of them";
  const single = boxField("the settling box");
  const several = listField("settling boxes, each with its own name", namedBoxField(), 1);
  return {
    about,
    hole: { inList: false, boxes: [] },
    schema: { description: about, anyOf: [single.schema, several.schema] },
    read: (value, where, findings: Findings) => Array.isArray(value)
      ? { inList: true, boxes: several.read(value, where, findings) }
      : { inList: false, boxes: [single.read(value, where, findings)] },
  };
}

/** A box as it is written: round with a diameter, or rectangular. */
interface BoxEntry {
  readonly diameter: number | null;
  readonly length: number | null;
  readonly width: number | null;
  readonly floor: number;
  readonly rim: number;
  readonly outlet: GivenBox["outlet"];
  readonly spillsTo: "lowSpot" | null;
}

function boxField(about: string): Field<GivenBox> {
  return mapped(objectField<BoxEntry>(about, boxFields(), PLANS), (entry) => boxOf("settlingBox", entry));
}

function namedBoxField(): Field<GivenBox> {
  const fields: FieldsOf<BoxEntry & { readonly name: string }> = {
    name: nameField("name of the box, by which catchments drain to it"),
    ...boxFields(),
  };
  return mapped(objectField("a settling box", fields, PLANS), (entry) => boxOf(entry.name, entry));
}

const PLANS = [{ keys: ["diameter"] }, { keys: ["length", "width"] }] as const;

function boxFields(): FieldsOf<BoxEntry> {
  return {
    diameter: orNone(sizeField("inside diameter of a round box")),
    length: orNone(sizeField("inside length of a rectangular box")),
    width: orNone(sizeField("inside width of a rectangular box")),
    floor: levelField("level of the box's floor"),
    rim: levelField("level of the box's rim, where it overflows"),
    outlet: pipeField("the pipe from the box to the chambers"),
    spillsTo: wordField("where water over the rim goes, if it stays on the site", "lowSpot"),
  };
}

function boxOf(name: string, { diameter, length, width, floor, rim, outlet, spillsTo }: BoxEntry): GivenBox {
  return { name, ...planOf(diameter, length ?? NaN, width ?? NaN), floor, rim, outlet, spillsTo };
}

function planOf(diameter: number | null, length: number, width: number): Pick<GivenBox, "plan" | "planArea" | "perimeter"> {
  if (diameter === null) return { plan: { length, width }, planArea: length * width, perimeter: 2 * (length + width) };
  return { plan: { diameter }, planArea: (Math.PI / 4) * (diameter * diameter), perimeter: Math.PI * diameter };
}
