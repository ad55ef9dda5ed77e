import { levelText } from "../text/format.ts";
import type { Run } from "../simulate/run.ts";
import { answerSentence } from "./answer.ts";
import { bodyViews, DRY } from "./bodyViews.ts";
import { momentText } from "../text/hours.ts";

/** The level picture in words, for anyone who cannot see it: the answer, then each body's start, top and end. */
export function describeLevels(run: Run): string {
  const bodies = bodyViews(run).map(({ body, words, floor }) => {
    const level = (metres: number): string => (metres - floor <= DRY ? "dry" : levelText(metres, run.site.units));
    const top = run.peaks[body]!;
    return `${words}: at the start ${level(run.level(body, 0))}, highest ${level(top.level)} at ${momentText(top.time)}, at the end ${level(run.level(body, run.until))}`;
  });
  return `Water level against hours since the rain began. ${answerSentence(run)} ${bodies.join("; ")}.`;
}
