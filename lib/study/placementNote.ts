import { seepagePath } from "../site/seepagePath.ts";
import { lengthText, volumeText, type UnitSystem } from "../text/format.ts";
import type { Position } from "./placement.ts";
import { capital, percentText } from "../text/words.ts";

/** What a place on the slope does, from the highest to the lowest: the water table is the reason, or nothing is. */
export function placementNote(positions: readonly Position[], units: UnitSystem): string {
  const [high, low] = [positions[0]!, positions.at(-1)!];
  const state = (position: Position): string => `${fullWords(position)} and starts with room for ${volumeText(position.freeVolume, units)}`;
  const [there, elsewhere] = [placeWords(low.height, units), placeWords(high.height, units)];
  const drowned = drownedWords(low, units);
  if (positions.length === 1) return `${capital(there)} the pit is ${state(low)}.${drowned}`;
  const over = low.groundwaterOverFloor;
  if (over !== null && over > 0) {
    return `The low place is wet because the water table stands ${lengthText(over, units)} over the pit's floor there: ${there} the pit is ${state(low)}, `
      + `${elsewhere} it is ${state(high)}.${drowned}`;
  }
  if (Math.abs(low.fullShare - high.fullShare) > ALIKE) {
    if (!isNear(low)) {
      return `No water table comes near the pit at any place: the water outside the emitter, which stays where it is, makes the difference. ${capital(there)} the pit is `
        + `${state(low)}, ${elsewhere} it is ${state(high)}.${drowned}`;
    }
    return `The water table stays below the pit at every place, but near enough to slow it: ${there} the pit is ${state(low)}, ${elsewhere} it is `
      + `${state(high)}.${drowned}`;
  }
  const alike = percentText(low.fullShare) === percentText(high.fullShare) ? " there as at the highest place" : "";
  if (over === null) return `The place does not matter here: no groundwater is given, and even ${there} the pit is ${fullWords(low)}${alike}.${drowned}`;
  return `The place does not matter here: even ${there} the water table stays below the pit, which is ${fullWords(low)}${alike}.${drowned}`;
}

/** Whether a water table below the pit's floor can slow what soaks away: it lies within the seepage path, or a mound may rise from it. */
function isNear({ groundwaterOverFloor, run: { site: { groundwater, chamberBank } } }: Position): boolean {
  if (groundwaterOverFloor === null) return false;
  return groundwater.mounding !== null || -groundwaterOverFloor < seepagePath(groundwater, chamberBank.width);
}

/** Shares of time that differ by less say the same to a person. */
const ALIKE = 0.05;

/** Where the works stand, such as `2 ft up the slope`. */
export function placeWords(height: number, units: UnitSystem): string {
  if (height === 0) return "as built";
  return `${lengthText(Math.abs(height), units)} ${height > 0 ? "up" : "down"} the slope`;
}

/** How much of the time a pit is full, as `never full` or `full 12 % of the time`. */
export function fullWords({ fullShare }: Pick<Position, "fullShare">): string {
  const share = percentText(fullShare);
  return share === "0 %" ? "never full" : share === "100 %" ? "always full" : `full ${share} of the time`;
}

function drownedWords({ drowned, height }: Position, units: UnitSystem): string {
  if (drowned === null) return "";
  const place = capital(placeWords(height, units));
  return drowned === "runs on without rain" ? ` ${place} the emitter ${drowned}.` : ` ${place} the emitter is drowned: ${drowned}.`;
}
