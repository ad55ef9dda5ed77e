import { isBelow, ROUND_OFF, type Judge } from "./judge.ts";
import type { Chamber, ChamberBank } from "./site.ts";
import type { SiteFile } from "./siteFile.ts";

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
  const holes = wallOpenings.count * (Math.PI / 4) * wallOpenings.diameter ** 2;
  if (holes > wall) judge.refuse(`${where}.wallOpenings`, `holes of no more than the chamber's wall (${judge.area(wall)})`, judge.area(holes));
}

/** However they are set out, the chambers' circles cannot take more than the pit's plan. */
function checkRoom({ length, width, chambers }: ChamberBank, judge: Judge): void {
  const pit = length * width;
  const taken = chambers.reduce((sum, { count, outsideDiameter }) => sum + count * (Math.PI / 4) * outsideDiameter ** 2, 0);
  if (!(taken > pit)) return;
  const count = chambers.reduce((sum, chamber) => sum + chamber.count, 0);
  const expected = `chambers that fit into the pit's plan, chamberBank.length times chamberBank.width (${judge.area(pit)})`;
  judge.refuse("chamberBank.chambers", expected, `${count === 1 ? "one that takes" : `${count} that take`} ${judge.area(taken)}`);
}
