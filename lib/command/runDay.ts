import { basename } from "node:path";
import { readRainFile } from "../node/readRainFile.ts";
import { UserFault } from "../node/userFault.ts";
import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { html, type Markup } from "../report/markup.ts";
import type { PagePart } from "../report/pagePart.ts";
import { studyPage } from "../report/studyPage.ts";
import { parseJson } from "../schema/parseJson.ts";
import { type DayCase, thatDay, type ThatDay, type ThatDayOptions } from "../study/thatDay.ts";
import { type ClockTime, clockWords } from "../text/clockText.ts";
import { describe } from "../text/describe.ts";
import { volumeText, waterText } from "../text/format.ts";
import { lastingText } from "../text/hours.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { type Beside, besideFile, namedFile } from "./beside.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { readText, writeWhole } from "./files.ts";
import { reportPath } from "./reportPaths.ts";
import { siteWithRain } from "./siteWithRain.ts";

/**
 * Answers whether the lid should have run on a day: the answer to the terminal, a page beside it.
 *
 * @param words  a site file, and a file of JSON that says what is known of the day: options of `thatDay`, in place of `record` a `file`
 *               of rain beside it, with the options of `readRain` in `reading`; or a gauge's CSV, and the date
 * @returns      the exit status: 1 when there is no answer
 */
export async function runDay(
  words: readonly string[], folder: string, console: Console, { allowOutside }: { readonly allowOutside: boolean },
): Promise<number> {
  const [sitePath, dayPath, date, ...rest] = words;
  const isGauge = dayPath?.toLowerCase().endsWith(".csv") === true;
  if (sitePath === undefined || dayPath === undefined || (date !== undefined && !isGauge) || rest.length > 0) {
    console.err(`day: expected a site file and a file of what is known of the day, or a gauge's CSV and a date, got ${words.length === 0 ? "nothing" : words.map(describe).join(", ")}\n`);
    return 1;
  }
  try {
    const site = await siteWithRain(sitePath, besideFile(sitePath, allowOutside));
    try {
      const asked = isGauge ? { file: basename(dayPath), ...(date !== undefined && { date }) } : await readAsked(dayPath);
      const { options, notes } = await readDay(dayPath, asked, besideFile(dayPath, allowOutside));
      const part = dayPart(thatDay(site, options), notes);
      const page = reportPath(sitePath, folder, "-day");
      await writeWhole(page, studyPage(site, [part]));
      console.out(`${part.answer}\n${page}\n`);
      return 0;
    } catch (error) {
      if (error instanceof InputError) throw new UserFault(`${dayPath}: ${error.message}`);
      throw error;
    }
  } catch (error) {
    console.err(`${faultText(sitePath, error)}\n`);
    return 1;
  }
}

async function readAsked(path: string): Promise<Readonly<Record<string, unknown>>> {
  const problems: Problem[] = [];
  const asked = parseJson(await readText(path), problems);
  if (problems.length > 0) throw new InputError("The day cannot be looked at:", problems);
  if (typeof asked !== "object" || asked === null || Array.isArray(asked)) throw new UserFault(`${path}: expected an object { … }, got ${describe(asked)}`);
  return asked as Readonly<Record<string, unknown>>;
}

async function readDay(
  path: string, asked: Readonly<Record<string, unknown>>, beside: Beside,
): Promise<{ readonly options: ThatDayOptions; readonly notes: readonly string[] }> {
  const { file, reading, ...others } = asked;
  if (file === undefined) return { options: others, notes: [] };
  if (typeof file !== "string") throw new UserFault(`${path}: file: expected the name of a file of rain, got ${describe(file)}`);
  const record = await readRainFile(await namedFile(path, file, beside), (reading ?? {}));
  return { options: { ...others, record }, notes: record.notes.map((note) => `${file}: ${note}`) };
}

/** Whether the lid should have run on a day, and every opening of it by the clock. */
export function dayPart(result: ThatDay, notes: readonly string[] = []): PagePart {
  const answer = dayAnswer(result);
  const { cases, day, clock } = result;
  const section = html`<section class="storm" id="day" aria-labelledby="day-name">
<h2 id="day-name"><span class="storm-name">${day}</span>${keptTogether(answer)}</h2>
<p>Times are those of ${clockWords(clock)}. Before the rain that is given here the works are as empty as the water table leaves them.</p>
${cases.map((each) => casePart(each, result))}
${notes.length === 0 ? null : html`<ul class="notes">${notes.map((note) => html`<li>${plainText(note)}</li>`)}</ul>`}
</section>`;
  return { answer, section, pictures: [] };
}

/** In a sentence: yes, no, or that it hangs on how the rain fell. */
export function dayAnswer({ site, day, cases }: ThatDay): string {
  if (site.emitter === null) return `There is no emitter that could have run on ${day}.`;
  const ran = cases.filter(({ openings }) => openings.length > 0);
  const held = cases.filter((each) => each.held !== null);
  if (ran.length === 0 && held.length > 0) {
    const some = held.length < cases.length ? `in ${held.length} of ${cases.length} cases ` : "";
    return `The lid is held shut on ${day}, as the file has it: by this rain ${some}water could have opened it, at ${earliest(held.map((each) => each.held!), day)}${several(cases) ? " at the earliest" : ""}.`;
  }
  if (ran.length === 0) return `By this rain the lid should not have run on ${day}${several(cases) ? ", in any of the ways it may have fallen" : ""}.`;
  const volumes = ran.map(({ volume }) => volume);
  const [least, most] = [leastOf(volumes), greatestOf(volumes)].map((volume) => volumeText(volume, site.units));
  const let_ = least === most ? least! : `${least!} to ${most!}`;
  const first = earliest(ran.map(({ openings }) => openings[0]!.opens), day);
  if (ran.length < cases.length) {
    return `Whether the lid should have run on ${day} hangs on how much fell and how: in ${ran.length} of ${cases.length} cases it opens, at ${first} at the earliest, and lets out ${let_}.`;
  }
  return `The lid should have run on ${day}: it opens at ${first}${several(cases) ? " at the earliest" : ""} and lets out ${let_}.`;
}

/** The first of several moments, with its day where that is another. */
function earliest(moments: readonly ClockTime[], day: string): string {
  const first = moments.reduce((least, each) => (`${each.date} ${each.time}` < `${least.date} ${least.time}` ? each : least));
  return momentOn(first, day);
}

function momentOn(at: ClockTime, day: string): string {
  return at.day === day ? at.time : `${at.time} on ${at.day}`;
}

function several(cases: readonly DayCase[]): boolean {
  return cases.length > 1;
}

function casePart({ words, openings, otherDays, volume, held, peak }: DayCase, { site: { units, emitter }, day }: ThatDay): Markup {
  const other = otherDays === 0 ? "" : ` On other days of this rain it opens ${otherDays === 1 ? "once" : `${otherDays} times`}.`;
  const highest = `The pit stands highest at ${peak.at.time} on ${peak.at.day}, at ${waterText(peak.level, units)}.`;
  const lid = emitter === null ? "" : openings.length === 0 ? held === null ? `The lid stays shut on ${day}.` : `The lid is held shut on ${day}, where water could have opened it from ${held.time} on.` : `The lid lets out ${volumeText(volume, units)} on ${day}.`;
  return html`<h3>${plainText(words)}</h3>
<p>${lid}${other} ${highest}</p>
${openings.length === 0 ? null : html`<div class="scroll" role="region" aria-label="Openings of the lid" tabindex="0"><table>
<thead><tr><th scope="col">opens</th><th scope="col">shuts</th><th scope="col">open for</th><th scope="col">lets out</th></tr></thead>
<tbody>${openings.map(({ opens, shuts, open, volume: out }) => html`<tr><th scope="row">${momentOn(opens, day)}</th><td>${shuts === null ? "still open at the end" : shuts.date === opens.date ? shuts.time : `${shuts.time}, ${shuts.day}`}</td><td>${lastingText(open)}</td><td>${volumeText(out, units)}</td></tr>`)}</tbody>
</table></div>`}`;
}
