import { waterAround } from "../simulate/drainTime.ts";
import { flowOfKind, type Run } from "../simulate/run.ts";
import { flowText, waterText } from "../text/format.ts";
import { momentText } from "../text/hours.ts";
import { DRY } from "./bodyViews.ts";
import { NO_FLOW } from "./flowRows.ts";
import { surfaceFlow } from "./stateMoments.ts";

/**
 * The state of the site at a moment, in a sentence: dry, filling, emptying, level with its groundwater, trench or emitter running, out
 * at the surface.
 *
 * @param time  of the run [s], within it
 */
export function sectionAnswer(run: Run, time: number): string {
  const { units } = run.site;
  const level = run.level("chamberBank", time);
  const { up, lip } = surfaceFlow(run, time);
  const emitter = flowOfKind(run, "emitter", time);
  const over = flowOfKind(run, "trenchInlet", time);
  const isDry = level - run.site.chamberBank.floor <= DRY;
  const state = up > NO_FLOW && emitter > NO_FLOW ? `, the emitter lets out ${flowText(emitter, units)}, and ${flowText(up, units)} comes out elsewhere at the surface`
    : up > NO_FLOW ? `and ${flowText(up, units)} comes out at the surface`
    : lip > NO_FLOW ? `and ${flowText(lip, units)} runs over the lip of the low spot`
    : emitter > NO_FLOW ? `and the emitter lets out ${flowText(emitter, units)}`
    : over > NO_FLOW ? `and the trench runs, ${flowText(over, units)}`
    : isDry ? "" : course(run, time);
  return `At ${momentText(time)} ${isDry ? "the pit is dry" : `the pit stands at ${waterText(level, units)}`}${state === "" || state.startsWith(",") ? state : ` ${state}`}.`;
}

/** Whether the pit fills or empties at a moment, by how it moves in the ten minutes after it, or before the run's end. */
function course(run: Run, time: number): string {
  const [level, to] = [run.level("chamberBank", time), Math.min(run.until, time + MOMENT)];
  const moved = run.level("chamberBank", to) - run.level("chamberBank", Math.max(0, to - MOMENT));
  if (level >= run.peaks["chamberBank"]!.level - STILL && moved < -STILL) return ", its highest";
  if (Math.abs(moved) > STILL) return moved > 0 ? "and fills" : "and empties";
  return Math.abs(level - waterAround(run, time)) < 10 * DRY ? "level with its groundwater" : "and stays there";
}

/** [s]; and less than a twentieth of a millimetre in it is no movement [m]: three in ten hours */
const MOMENT = 600;
const STILL = 5e-5;
