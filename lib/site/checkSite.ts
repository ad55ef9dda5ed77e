import { checkBank } from "./bankRules.ts";
import { checkBoxes } from "./boxRules.ts";
import { checkCatchments } from "./catchmentRules.ts";
import type { Judge } from "./judge.ts";
import { checkDepths } from "./plausibleLevels.ts";
import type { SiteFile } from "./siteFile.ts";
import { checkGroundwater, checkLayers } from "./soilRules.ts";
import { checkEmitter, checkLowSpot } from "./surfaceRules.ts";
import { checkTrench } from "./trenchRules.ts";

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
