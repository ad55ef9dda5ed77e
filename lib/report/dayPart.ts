import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import type { DayCase, ThatDay } from "../study/thatDay.ts";
import { clockWords, type ClockTime } from "../text/clockText.ts";
import { levelText, volumeText } from "../text/format.ts";
import { lastingText } from "../text/hours.ts";
import { html, type Markup } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";

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
  const highest = `The pit stands highest at ${peak.at.time} on ${peak.at.day}, at ${levelText(peak.level, units)}.`;
  const lid = emitter === null ? "" : openings.length === 0 ? held === null ? `The lid stays shut on ${day}.` : `The lid is held shut on ${day}, where water could have opened it from ${held.time} on.` : `The lid lets out ${volumeText(volume, units)} on ${day}.`;
  return html`<h3>${plainText(words)}</h3>
<p>${lid}${other} ${highest}</p>
${openings.length === 0 ? null : html`<div class="scroll" role="region" aria-label="Openings of the lid" tabindex="0"><table>
<thead><tr><th scope="col">opens</th><th scope="col">shuts</th><th scope="col">open for</th><th scope="col">lets out</th></tr></thead>
<tbody>${openings.map(({ opens, shuts, open, volume: out }) => html`<tr><th scope="row">${momentOn(opens, day)}</th><td>${shuts === null ? "still open at the end" : shuts.date === opens.date ? shuts.time : `${shuts.time}, ${shuts.day}`}</td><td>${lastingText(open)}</td><td>${volumeText(out, units)}</td></tr>`)}</tbody>
</table></div>`}`;
}
