import { soilText } from "../figures/runSubtitle.ts";
import type { Site } from "../site/site.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { cautionSections } from "./cautionSections.ts";
import { html, type Markup } from "./markup.ts";
import { pageFrame } from "./pageFrame.ts";
import type { PagePart } from "./pagePart.ts";
import { stoppedNote, type StoppedStorm } from "./summary.ts";
import { capacitySentence } from "./wayOut.ts";

/** The place of a study that could not be made, on the page of those that could. */
export function failedPart(name: string): PagePart {
  return sentencePart(name, `The study “${name}” could not be made; the terminal says why.`);
}

/** The place of a storm that could not be run to its end. */
export function stoppedPart(storm: StoppedStorm): PagePart {
  return sentencePart(plainText(storm.name), stoppedNote(storm));
}

/** A sentence that the reader of a page should know before its figures are believed. */
export function notePart(sentence: string): PagePart {
  return sentencePart("What was measured", sentence);
}

function sentencePart(name: string, answer: string): PagePart {
  return { answer, section: html`<section class="storm" aria-label="${name}"><h2>${answer}</h2></section>`, pictures: [] };
}

/**
 * Studies of one site on one page: the size and its reason, the storms that decide it, how sure all of it is, and how often.
 *
 * @param parts  one or more; the answer of the first is the page's title
 */
export function studyPage(site: Site, parts: readonly PagePart[]): string {
  const soil = soilText(site);
  return pageFrame({
    title: `${plainText(site.name, 60)}: ${parts[0]!.answer}`,
    header: html`<p class="place"><bdi>${plainText(site.name)}</bdi></p>
<h1>${keptTogether(parts[0]!.answer)}</h1>
${parts.length === 1 ? null : html`<ul class="notes">${parts.slice(1).map(({ answer }) => html`<li>${keptTogether(answer)}</li>`)}</ul>`}
<p class="soil">${soil.charAt(0).toUpperCase() + soil.slice(1)}. ${capacitySentence(site)}</p>
${rainSource(site)}`,
    main: html`${parts.map(({ section }) => section)}
${cautionSections()}`,
  });
}

/** Where the rain of the studies is from, for their page; null where the file does not say. */
function rainSource({ studies }: Site): Markup | null {
  const rainfall = studies?.rainfall ?? null;
  if (rainfall === null) return null;
  const { source, place, date, m5_60, r } = rainfall;
  if (typeof m5_60 === "string") return html`<p>Rain of the place: M5-60 ${plainText(m5_60)} and r ${String(r)}, with the UK’s factors (from memory).</p>`;
  const parts = [source, place, date].filter((each): each is string => typeof each === "string" && each !== "");
  return parts.length === 0 ? null : html`<p>Rain of the place: ${plainText(parts.join("; "))}.</p>`;
}
