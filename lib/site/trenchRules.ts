import { leastOf } from "../numerics/extremes.ts";
import { isBelow, ROUND_OFF, type Judge } from "./judge.ts";
import { checkPipe } from "./pipeRules.ts";
import type { OverflowTrench } from "./site.ts";
import type { SiteFile } from "./siteFile.ts";
import { groundOfSegment } from "./trenchGround.ts";

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
