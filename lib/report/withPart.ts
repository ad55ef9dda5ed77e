import { greatestOf } from "../numerics/extremes.ts";
import { periodWords } from "../figures/sweepAnswer.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import type { Run } from "../simulate/run.ts";
import type { Site } from "../site/site.ts";
import { LOOKED, type Turf, type TurfRun, turfRun } from "../study/turfRun.ts";
import { withWorks, type WithByDuration, type WithWorks } from "../study/withWorks.ts";
import { depthText, flowText, intensityText, lengthText, threeFigures, twoFigures, volumeText } from "../text/format.ts";
import { html, type Markup } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";

type Named = WithWorks & { readonly name: string };

/**
 * With and without: what leaves the lot in each storm beside the same roof without works, said where it does not flatter too; how far
 * what the emitter lets out runs over the turf; and the same by the duration of the storm.
 *
 * @param storms      one or more, of one site
 * @param byDuration  of the same site, by the duration of the storm; none where its file has no table
 */
export function withPart(
  storms: readonly { readonly name: string; readonly run: Run }[], byDuration: readonly WithByDuration[] = [],
): PagePart {
  const { site } = storms[0]!.run;
  const sets = storms.map(({ name, run }): Named => ({ name, ...withWorks(run) }));
  const worst = sets.reduce((least, each) => (each.kept.water < least.kept.water ? each : least));
  const answer = keptSentence(worst);
  const section = html`<section class="storm" id="with" aria-labelledby="with-name">
<h2 id="with-name"><span class="storm-name">With and without</span>${keptTogether(answer)}</h2>
<div class="scroll" role="region" aria-labelledby="with-name" tabindex="0"><table>
<caption>What comes out of the works, at the lid and over rims and grounds, all of it taken to leave the lot; without works all that the roof sheds. That is the worst case: on its way over ground some of it would soak away.</caption>
${heads("storm")}
<tbody>${sets.map((each) => row(plainText(each.name, 60), each, site))}</tbody>
</table></div>
<p>${keptTogether(bookWords(sets, site))}</p>
${turfTable(storms)}
${durationTable(byDuration, site)}
</section>`;
  return { answer, section, pictures: [] };
}

function heads(first: string): Markup {
  return html`<thead><tr><th scope="col">${first}</th><th scope="col">without</th><th scope="col">with</th><th scope="col">kept</th><th scope="col">most at once, without</th><th scope="col">with</th><th scope="col">kept</th></tr></thead>`;
}

function row(name: string, found: WithWorks | null, { units }: Site): Markup {
  if (found === null) return html`<tr><th scope="row"><bdi>${name}</bdi></th><td colspan="6">could not be run to its end</td></tr>`;
  const { without, with: out, kept } = found;
  return html`<tr><th scope="row"><bdi>${name}</bdi></th><td>${keptTogether(volumeText(without.volume, units))}</td><td>${keptTogether(volumeText(out.volume, units))}</td><td>${shareText(kept.water)}</td><td>${keptTogether(flowText(without.peak, units))}</td><td>${keptTogether(flowText(out.peak, units))}</td><td>${shareText(kept.peak)}</td></tr>`;
}

/** What became of the water that did not leave; litres of a rounding are nothing. */
function bookWords(sets: readonly Named[], { units }: Site): string {
  const stood = ({ book: { stored } }: Named): string => (Math.abs(stored) < NOTHING ? "" : ` and ${volumeText(Math.abs(stored), units)} ${stored < 0 ? "less stood" : "more stood"} in the works than at the start`);
  const soaked = ({ book: { soaked: into } }: Named): string => (into < 0 ? `${volumeText(-into, units)} of groundwater came in` : `${volumeText(into, units)} soaked away`);
  return `Of the rest, by the end of each run: ${sets.map((each) => `in “${plainText(each.name, 40)}” ${soaked(each)}${stood(each)}`).join("; ")}.`;
}

/** A litre [m3]: less water standing in the works is not mentioned. */
const NOTHING = 1e-3;

/** How far what the emitter lets out runs, with what is taken of the turf. */
function turfTable(storms: readonly { readonly name: string; readonly run: Run }[]): Markup | null {
  const { site } = storms[0]!.run;
  const found = storms.flatMap(({ name, run }) => {
    const turf = turfRun(run);
    return turf === null ? [] : [{ name, ...turf }];
  });
  if (found.length === 0) return null;
  const { units } = site;
  const { turf } = found[0]!;
  const isKnown = turf.toBoundary !== null;
  return html`<h3 id="with-turf">${keptTogether(turfAnswer(found, site))}</h3>
<div class="scroll" role="region" aria-labelledby="with-turf" tabindex="0"><table>
<caption>${keptTogether(turfWords(turf, site))}</caption>
<thead><tr><th scope="col">storm</th><th scope="col">let out</th><th scope="col">runs over the turf for</th><th scope="col">as wide at the end as</th>${isKnown ? html`<th scope="col">comes as far as the boundary</th>` : null}</tr></thead>
<tbody>${found.map((each) => html`<tr><th scope="row"><bdi>${plainText(each.name, 60)}</bdi></th><td>${keptTogether(volumeText(each.volume, units))}</td><td>${keptTogether(each.isBeyond ? `more than ${lengthText(LOOKED, units)}` : lengthText(each.reach, units))}</td><td>${keptTogether(lengthText(each.width, units))}</td>${isKnown ? html`<td>${keptTogether(volumeText(each.overBoundary!, units))}</td>` : null}</tr>`)}</tbody>
</table></div>`;
}

function turfAnswer(found: readonly (TurfRun & { readonly name: string })[], { units }: Site): string {
  const far = found.reduce((most, each) => (each.reach > most.reach || (each.isBeyond && !most.isBeyond) ? each : most));
  const { toBoundary } = far.turf;
  if (toBoundary !== null && toBoundary > 0 && far.reach > toBoundary) {
    const past = greatestOf(found.map(({ overBoundary }) => overBoundary!));
    return `What the emitter lets out in “${plainText(far.name, 40)}” runs over the turf as far as the nearest boundary, ${lengthText(toBoundary, units)} away, and past it: ${volumeText(past, units)} at most.`;
  }
  const reach = far.isBeyond ? `farther than it was followed, ${lengthText(LOOKED, units)},` : lengthText(far.reach, units);
  const line = toBoundary === null ? "; how far the emitter stands from the boundary the file does not say"
    : toBoundary === 0 ? "; the emitter stands on the boundary or beyond it"
      : `; the emitter stands ${lengthText(toBoundary, units)} from the nearest boundary`;
  return `What the emitter lets out in “${plainText(far.name, 40)}” runs ${reach} over the turf${far.isBeyond ? "" : " before the soil has taken it"}${line}.`;
}

/** What is taken of the turf, each thing with where it is from. */
function turfWords(turf: Turf, { units }: Site): string {
  const { slope, slopeFrom, conductivity, conductivityFrom, suction, suctionFrom, moistureChange, manningN, toBoundary } = turf;
  const from = {
    surroundings: "as the file says", "ground over the trench": "as the ground over the trench falls", assumed: "which is assumed",
  }[slopeFrom];
  const taken = [
    `a fall of ${threeFigures(100 * slope)} %, ${from}`,
    `dense grass (Manning’s n ${threeFigures(manningN)}, which is assumed)`,
    `soil that takes in ${intensityText(conductivity, units)}, ${conductivityFrom === "cover" ? "that of the cover over the trench" : "that of the top layer as used"}`,
    `a suction of ${depthText(suction, units)}${suctionFrom === "texture" ? ", that of its texture" : ", assumed by that rate"}`,
    `and room for ${threeFigures(moistureChange)} of its volume in water, which is assumed`,
  ];
  return `A sheet that its own depth drives apart, by Manning’s law and Green and Ampt’s; the storm’s own rain takes up the soil first. Taken: ${taken.join(", ")}.${toBoundary === null || toBoundary === 0 ? "" : " Which way the water runs the plan does not tell: the boundary is the nearest one."}`;
}

/** What leaves by the duration of the storm. */
function durationTable(byDuration: readonly WithByDuration[], site: Site): Markup | null {
  if (byDuration.length === 0) return null;
  const { rainTimes } = byDuration[0]!;
  return html`<h3 id="with-duration">By the duration of the storm${rainTimes === 1 ? "" : `, its rain times ${threeFigures(rainTimes)}`}</h3>
<ul class="notes">${byDuration.map((each) => html`<li>${keptTogether(leastWords(each))}</li>`)}</ul>
<details><summary>Every duration in numbers</summary>
<div class="scroll" role="region" aria-labelledby="with-duration" tabindex="0"><table>
${heads("storm")}
${byDuration.map(({ returnPeriod, rows }) => html`<tbody><tr class="group"><th scope="rowgroup" colspan="7">${periodWords(returnPeriod)}</th></tr>
${rows.map(({ duration, found }) => row(plainText(duration, 20), found, site))}</tbody>`)}
</table></div></details>`;
}

/** In which durations the works keep least. */
function leastWords({ returnPeriod, rows }: WithByDuration): string {
  const name = periodWords(returnPeriod);
  const made = rows.flatMap(({ duration, found }): Made[] => (
    found === null || Number.isNaN(found.kept.water) ? [] : [{ duration: plainText(duration, 20), ...found.kept }]));
  if (made.length === 0) return `No ${name} storm could be run to its end.`;
  if (made.every(({ water, peak }) => water >= 1 && peak >= 1)) return `Of every ${name} storm the works keep all.`;
  const least = (key: "water" | "peak"): Made => made.reduce((lowest, each) => (each[key] < lowest[key] ? each : lowest));
  const [water, peak] = [least("water"), least("peak")];
  const more = peak.peak < 0 ? `let out ${moreText(1 - peak.peak)} times as much at once as the roof sheds` : null;
  const kept = `${keptShare(water.water)} of the water and ${more ?? `${shareText(peak.peak)} of the greatest flow`}`;
  if (made.length === 1) return `Of the ${name} storm of ${water.duration} the works keep ${kept}.`;
  if (water.duration === peak.duration) return `Of the ${name} storms the works keep least in that of ${water.duration}: they keep ${kept}.`;
  const flow = more === null ? `least of the greatest flow in that of ${peak.duration}, ${shareText(peak.peak)}` : `${more} in that of ${peak.duration}`;
  return `Of the ${name} storms the works keep least of the water in that of ${water.duration}, ${keptShare(water.water)}, and ${flow}.`;
}

type Made = WithWorks["kept"] & { readonly duration: string };

function keptSentence({ name, kept }: Named): string {
  const storm = `In “${plainText(name, 40)}”`;
  if (Number.isNaN(kept.water)) return `${storm} nothing runs off the roof.`;
  if (kept.water < 0) return `${storm} more leaves the lot with the works than without: groundwater comes out with the rain.`;
  if (kept.peak < 0) return `${storm} the works keep ${shareText(kept.water)} of the water, and let more out at once than the roof sheds.`;
  return `${storm} the works keep ${shareText(kept.water)} of the water and ${shareText(kept.peak)} of the greatest flow.`;
}

/** `3.8`, and `1.004` where it is hardly more. */
function moreText(times: number): string {
  return times < 1.01 ? "a little over 1" : twoFigures(times);
}

/** In a sentence: where more leaves than without, nothing is kept. */
function keptShare(share: number): string {
  return share < 0 ? "nothing" : shareText(share);
}

function shareText(share: number): string {
  if (Number.isNaN(share)) return "–";
  if (share < 0) return "none: more leaves";
  return share > 0.995 && share < 1 ? "over 99 %" : `${Math.round(100 * share)} %`;
}
