import { checkBank } from "./bankField.ts";
import { checkBoxes } from "./boxField.ts";
import { checkCatchments } from "./catchmentField.ts";
import { isBelow, type Judge } from "./judge.ts";
import { checkDepths } from "./plausibleLevels.ts";
import type { LowSpot } from "./site.ts";
import type { SiteFile } from "./siteFile.ts";
import { checkGroundwater, checkLayers } from "./soilField.ts";
import { checkTrench, groundKey } from "./trenchField.ts";

/**
 * Every rule that joins two values of a file: what lies below what, what fits into what, what names what. A value that
 * could not be read is NaN, about which no rule speaks.
 */
export function checkSite(file: SiteFile, judge: Judge): void {
  checkCatchments(file, judge);
  checkBoxes(file, judge);
  checkBank(file, judge);
  checkTrench(file, judge);
  checkEmitter(file, judge);
  checkLowSpot(file, judge);
  checkLayers(file, judge);
  checkDepths(file, judge);
  checkGroundwater(file, judge);
}

/** The emitter: a trench to stand on, a crest that makes no water, heads that leave the lid a way to move. */
function checkEmitter({ emitter, overflowTrench }: SiteFile, judge: Judge): void {
  if (emitter === null) return;
  if (overflowTrench === null) {
    judge.refuse("emitter", "an overflowTrench at whose end it stands", "none");
  } else if (isBelow(emitter.crest, overflowTrench.emitterFloor)) {
    const slits = overflowTrench.pipe !== null && overflowTrench.pipe.openArea !== null;
    const bottom = slits ? "trench pipe's inside bottom" : "trench's floor";
    judge.refuse("emitter.crest", `a level at or above the ${bottom} at its low end (${judge.level(overflowTrench.emitterFloor)})`);
  }
  if (emitter.closesAtHead >= emitter.opensAtHead) {
    judge.refuse("emitter.closesAtHead", `a head below that at which the lid opens (${judge.depth(emitter.opensAtHead)})`);
  }
  emitter.heldShut.forEach(({ from, to }, index) => {
    const where = `emitter.heldShut[${index}]`;
    if (to <= from) judge.refuse(`${where}.to`, `a time after its "from" (${judge.given(`${where}.from`)})`);
  });
}

/** The low spot: what runs into it and over its lip makes no water; nothing runs into one that is not there. */
function checkLowSpot(file: SiteFile, judge: Judge): void {
  const { lowSpot } = file;
  for (const { key, crest } of crestsIntoLowSpot(file, judge)) {
    if (lowSpot === null) judge.refuse(key, "a lowSpot in the file, or the key left out");
    else if (crest !== null && isBelow(crest.level, lowSpot.floor)) {
      judge.refuse(crest.key, `a level at or above the low spot's floor (${judge.given("lowSpot.floor")}), into which it spills`);
    }
  }
  if (lowSpot !== null) checkHollow(lowSpot, file, judge);
}

interface IntoLowSpot {
  /** the key that says so */
  readonly key: string;
  /** over which water runs both ways; null for what only runs in */
  readonly crest: { readonly key: string; readonly level: number } | null;
}

function crestsIntoLowSpot(file: SiteFile, judge: Judge): IntoLowSpot[] {
  const { boxesInList: inList, settlingBoxes: boxes, chamberBank, overflowTrench, emitter } = file;
  const found: IntoLowSpot[] = [];
  boxes.forEach(({ spillsTo, rim }, index) => {
    const where = inList ? `settlingBox[${index}]` : "settlingBox";
    if (spillsTo !== null) found.push({ key: `${where}.spillsTo`, crest: { key: `${where}.rim`, level: rim } });
  });
  const edges = [
    { where: "chamberBank", body: chamberBank, key: "chamberBank.ground", level: chamberBank.ground },
    ...(overflowTrench === null ? [] : [{
      where: "overflowTrench", body: overflowTrench, key: groundKey(judge, overflowTrench.ground.high < overflowTrench.ground.low ? "high" : "low"),
      level: overflowTrench.lowestGround,
    }]),
  ];
  for (const { where, body, key, level } of edges) {
    // Through a cover water only rises.
    if (body.spillsTo !== null) found.push({ key: `${where}.spillsTo`, crest: body.cover === null ? { key, level } : null });
  }
  if (emitter !== null && emitter.dischargesTo !== null) found.push({ key: "emitter.dischargesTo", crest: null });
  return found;
}

function checkHollow({ floor, lip, grate }: LowSpot, { chamberBank }: SiteFile, judge: Judge): void {
  if (isBelow(lip, floor)) judge.refuse("lowSpot.lip", `a level at or above the low spot's floor (${judge.given("lowSpot.floor")})`);
  if (grate === null) return;
  if (isBelow(grate.level, floor)) {
    judge.refuse("lowSpot.grate.level", `a level at or above the low spot's floor (${judge.given("lowSpot.floor")})`);
  }
  if (isBelow(grate.level, chamberBank.floor)) {
    judge.refuse("lowSpot.grate.level", `a level at or above the pit's floor (${judge.given("chamberBank.floor")})`);
  }
}
