import { isBelow, ROUND_OFF, type Judge } from "./judge.ts";
import { checkPipe } from "./pipeRules.ts";
import type { OverflowTrench } from "./site.ts";
import type { SiteFile } from "./siteFile.ts";

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
  const { floor, ground, fall, segments } = trench;
  const highStoneTop = trench.stoneTop.high;
  if (ground <= floor) {
    judge.refuse("overflowTrench.ground", `a level above the trench's floor (${judge.given("overflowTrench.floor")})`);
  } else if (isBelow(ground, highStoneTop)) {
    judge.refuse("overflowTrench.ground", `a level at or above the stone top at the high end (${judge.level(highStoneTop)})`);
  } else if (trench.cover !== null && ground - (highStoneTop - fall / (2 * segments)) <= ROUND_OFF) {
    // The cover's thickness is that at mid length of the trench, or of its first segment.
    judge.refuse("overflowTrench.cover", `no cover, or ground above the stone top (${judge.level(highStoneTop)})`, "a cover of no thickness");
  }
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
  if (isBelow(stone.depth, bedding + outsideDiameter)) {
    judge.refuse(`${where}.${key}`, `at most the stone above its bedding (${judge.depth(stone.depth - bedding)})`);
  }
  const wall = Math.PI * insideDiameter;
  if (openArea !== null && openArea > wall) judge.refuse(`${where}.openArea`, "no more than the pipe's whole wall");
}
