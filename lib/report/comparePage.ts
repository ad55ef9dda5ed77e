import { bandText, comparedText, compareAnswer, riseOf } from "../figures/compareAnswer.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { soilText } from "../figures/runSubtitle.ts";
import { sideBySideFigure } from "../figures/sideBySideFigure.ts";
import { designWords } from "../figures/sizeAnswer.ts";
import { soilCentre } from "../site/measuredSoil.ts";
import type { AnswerName } from "../study/answerRow.ts";
import type { Comparison, FileDifference, StormCompared } from "../study/compare.ts";
import { volumeText } from "../text/format.ts";
import { lastingText } from "../text/hours.ts";
import { capital, heightText } from "../text/words.ts";
import { cautionSections } from "./cautionSections.ts";
import { html, type Markup } from "./markup.ts";
import { pageFrame } from "./pageFrame.ts";
import type { PagePart } from "./pagePart.ts";
import { pictureOf, placeOf } from "./placedPicture.ts";

/** How the two designs are called, beside A and B. */
export interface ComparedNames {
  readonly a: string;
  readonly b: string;
}

/**
 * Two designs on one page: the sentence, one picture, what each does in every storm with the difference and its band, and what differs in
 * their files.
 *
 * @param differences  of the two files, as `fileDifferences` gives them
 */
export function comparePage(
  comparison: Comparison, names: ComparedNames, differences: readonly FileDifference[],
  options: { readonly notes?: readonly string[] } = {},
): string {
  const part = comparePart(comparison, names, differences, "compare", false);
  const { a, b } = comparison;
  return pageFrame({
    title: `A and B: ${part.answer}`,
    header: html`<p class="place">A: <bdi>${plainText(names.a)}</bdi><br>B: <bdi>${plainText(names.b)}</bdi></p>
<h1>${keptTogether(part.answer)}</h1>
<p class="soil">A: ${designWords({ site: a })}; ${soilText(a)}.<br>B: ${designWords({ site: b })}; ${soilText(b)}.</p>
${(options.notes ?? []).map((note) => html`<p>${note}</p>`)}`,
    main: html`${part.section}
${cautionSections()}`,
  });
}

/**
 * The same as a part of a page, of the variants of one file.
 *
 * @param id  of the section, such as "variant-1"
 */
export function comparePart(
  comparison: Comparison, names: ComparedNames, differences: readonly FileDifference[], id: string, isOnePart: boolean = true,
): PagePart {
  const { storms } = comparison;
  const [first] = storms as readonly [StormCompared];
  const picture = pictureOf(`${id}-levels`, (options) => sideBySideFigure([{ name: "A", run: first.a }, { name: "B", run: first.b }], options));
  const answer = compareAnswer(comparison);
  const section = html`<section class="storm" id="${id}" aria-labelledby="${id}-name">
<h2 id="${id}-name"><span class="storm-name">A: <bdi>${plainText(names.a, 60)}</bdi> · B: <bdi>${plainText(names.b, 60)}</bdi></span>${isOnePart ? keptTogether(answer) : "Side by side"}</h2>
${placeOf(picture, `In “${plainText(first.name, 60)}”: the water in each pit over its own floor, and the rain that the works could take again.`)}
${storms.map((storm) => stormTable(storm, comparison))}
${comparison.runs === 0 ? null : html`<p>${capital(bandSentence(comparison))}</p>`}
${differenceTable(differences)}
</section>`;
  return { answer, section, pictures: [picture] };
}

function bandSentence({ a, b, storms, runs }: Comparison): string {
  const lost = storms.reduce((sum, { cases, of }) => sum + of - cases, 0);
  return `each band holds 90 of 100 cases, of ${runs} in which both designs have the same soil, storm, water table and levels that were drawn, each by its name: what they share takes no part in the difference. “Apart” is what two separate studies would show. The soil of the cases centres on what was ${soilCentre(a)}${soilCentre(a) === soilCentre(b) ? "" : `, of B on what was ${soilCentre(b)}`}, without a factor of safety; “A” and “B” are the runs as the files say.${lost === 0 ? "" : ` ${lost} cases could not be run to the end in one of the two and are not counted.`}`;
}

const ROWS: readonly { readonly answer: AnswerName; readonly words: string; readonly emitter?: true; readonly kind: "volume" | "time" | "height" }[] = [
  { answer: "emitterVolume", words: "let out by the emitter", emitter: true, kind: "volume" },
  { answer: "openTime", words: "emitter open for", emitter: true, kind: "time" },
  { answer: "spilled", words: "comes out elsewhere", kind: "volume" },
  { answer: "boxHeadroom", words: "from the box's water to its rim", kind: "height" },
  { answer: "half", words: "half empty after", kind: "time" },
  { answer: "empty", words: "empty after", kind: "time" },
  { answer: "seeped", words: "into the soil within the run", kind: "volume" },
];

function stormTable(storm: StormCompared, { a, b, runs }: Comparison): Markup {
  const { units } = a;
  const rows = ROWS.filter(({ emitter }) => !emitter || a.emitter !== null || b.emitter !== null);
  const text = (kind: (typeof ROWS)[number]["kind"]) => (value: number): string => (
    kind === "volume" ? volumeText(value, units) : kind === "time" ? lastingText(value) : heightText(value, units));
  const signed = (value: number, word: (value: number) => string, least: number): string => (
    Number.isNaN(value) ? "–" : Math.abs(value) < least ? "the same" : `${word(Math.abs(value))} ${value < 0 ? "less" : "more"}`);
  const rise = riseOf(storm);
  const depth = ({ peaks, site }: StormCompared["a"]): string => heightText(peaks["chamberBank"]!.level - site.chamberBank.floor, units);
  return html`<div class="scroll" role="region" aria-label="${plainText(storm.name, 60)}" tabindex="0"><table>
<caption>In “${plainText(storm.name, 60)}”</caption>
<thead><tr><th scope="col"></th><th scope="col">A</th><th scope="col">B</th><th scope="col">B against A</th>${runs === 0 ? null : html`<th scope="col">90 of 100 cases</th><th scope="col">apart</th>`}</tr></thead>
<tbody><tr><th scope="row">pit filled over its floor</th><td>${depth(storm.a)}</td><td>${depth(storm.b)}</td><td>${signed(rise, text("height"), 0.0005)}</td>${runs === 0 ? null : html`<td></td><td></td>`}</tr>
${rows.map(({ answer, words, kind }) => {
    const { value, paired, separate } = storm.difference[answer];
    const least = { volume: 1e-4, time: 1, height: 0.0005 }[kind];
    const whole = (end: number): number => (Math.abs(end) < least ? 0 : end);
    const band = (spread: typeof paired): string => {
      if (spread === null) return "–";
      const [low, high] = [whole(spread.low), whole(spread.high)];
      return low === 0 && high === 0 ? "the same" : bandText({ low, high }, text(kind));
    };
    return html`<tr><th scope="row">${words}</th><td>${keptTogether(comparedText(answer, storm.answers.a[answer], units))}</td><td>${keptTogether(comparedText(answer, storm.answers.b[answer], units))}</td><td>${keptTogether(signed(value, text(kind), least))}</td>${runs === 0 ? null : html`<td>${keptTogether(band(paired))}</td><td>${keptTogether(band(separate))}</td>`}</tr>`;
  })}</tbody>
</table></div>`;
}

function differenceTable(differences: readonly FileDifference[]): Markup {
  if (differences.length === 0) return html`<p>The two files say the same of the works.</p>`;
  return html`<div class="scroll" role="region" aria-label="What differs" tabindex="0"><table class="words">
<caption>What differs in the files</caption>
<thead><tr><th scope="col">key</th><th scope="col">A</th><th scope="col">B</th></tr></thead>
<tbody>${differences.map(({ where, a, b }) => html`<tr><th scope="row"><bdi>${plainText(where, 80)}</bdi></th><td><bdi>${a === null ? "nothing" : plainText(a, 120)}</bdi></td><td><bdi>${b === null ? "nothing" : plainText(b, 120)}</bdi></td></tr>`)}</tbody>
</table></div>`;
}
