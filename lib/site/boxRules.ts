import { isBelow, type Judge } from "./judge.ts";
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
