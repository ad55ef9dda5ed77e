import { greatestOf } from "../numerics/extremes.ts";
import { drainTime } from "../simulate/drainTime.ts";
import type { Run } from "../simulate/run.ts";
import { roughVolumeText } from "../text/format.ts";
import { lastingText } from "../text/hours.ts";
import { capital } from "../text/words.ts";
import { DRY } from "./bodyViews.ts";

/**
 * What a storm does, as one would tell it over the fence: how full of groundwater the pit is before it rains, what comes out at the
 * surface, and how full the pit is two days after the rain. Rounded as the soil deserves; the exact answer is `answerSentence`.
 */
export function headline(run: Run): string {
  return `${capital([before(run), during(run), after(run)].filter((part) => part !== null).join(", "))}.`.replace(/, (?=[^,]*$)/, " and ");
}

function before(run: Run): string | null {
  const share = fullShare(run, 0);
  return share === null ? null : `before it rains the pit is ${shareWords(share)} full of groundwater`;
}

function during(run: Run): string {
  const { units } = run.site;
  if (run.spilled > 0.5 * LITTLE) {
    const emitter = run.emitted > LITTLE ? `the emitter lets out about ${roughVolumeText(run.emitted, units)}, ` : "";
    return `${emitter}about ${roughVolumeText(run.spilled, units)} comes up elsewhere over rims or ground`;
  }
  if (run.emitted > LITTLE) return `the emitter lets out about ${roughVolumeText(run.emitted, units)} in ${lastingText(run.openTime)}`;
  return "nothing comes out at the surface";
}

function after(run: Run): string | null {
  const rainEnds = run.rain?.time.at(-1) ?? greatestOf([0, ...Object.values(run.inflows).map(({ time }) => time.at(-1)!)]);
  const at = rainEnds + TWO_DAYS;
  if (at > run.until) return null;
  const share = fullShare(run, at);
  const when = "two days after the rain the pit is";
  if (share === null) return drainTime(run) === null ? null : `${when} empty`;
  const start = fullShare(run, 0) ?? 0;
  return Math.abs(share - start) < 0.05 ? `${when} as full as before` : `${when} ${share > 0.97 ? "" : "still "}${shareWords(share)} full`;
}

/** How full of water the pit is, of its stone's height; null where it is empty. */
function fullShare(run: Run, time: number): number | null {
  const { floor, stoneTop } = run.site.chamberBank;
  const share = (run.level("chamberBank", time) - floor) / (stoneTop - floor);
  return share < Math.max(0.02, DRY / (stoneTop - floor)) ? null : Math.min(1, share);
}

/** `a quarter`: no closer than anybody sees down a shaft. */
function shareWords(share: number): string {
  const near = SHARES.reduce((best, each) => (Math.abs(each.share - share) < Math.abs(best.share - share) ? each : best));
  return near.words;
}

const SHARES = Object.freeze([
  { share: 0.05, words: "hardly" }, { share: 0.1, words: "a tenth" }, { share: 0.2, words: "a fifth" }, { share: 0.25, words: "a quarter" }, { share: 0.333, words: "a third" },
  { share: 0.5, words: "half" }, { share: 0.6, words: "more than half" }, { share: 0.667, words: "two thirds" }, { share: 0.75, words: "three quarters" },
  { share: 0.9, words: "nearly" }, { share: 1, words: "quite" },
]);

/** A bucket [m3]. */
const LITTLE = 0.01;
const TWO_DAYS = 48 * 3600;
