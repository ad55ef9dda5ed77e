import { answerSentence, neverEmpty } from "../figures/answer.ts";
import { momentText } from "../figures/hours.ts";
import { keptTogether } from "../figures/keptTogether.ts";
import { plainText } from "../figures/plainText.ts";
import { rainText } from "../figures/rainPanel.ts";
import { sectionFigure } from "../figures/sectionFigure.ts";
import { stateMoments, type SiteState } from "../figures/stateMoments.ts";
import type { Run } from "../simulate/run.ts";
import { cautions } from "./cautions.ts";
import { html } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { pictureOf, placeOf } from "./placedPicture.ts";

/**
 * A sheet for who will live with the works: what they do in plain words, a still of each state that a storm brings, what they
 * will not do, what to watch for, and who to ask. Upkeep has a sheet of its own (`yearsPart`).
 *
 * @param run  of the storm that the stills are taken from
 */
export function clientSheet(run: Run, storm: string): PagePart {
  const stills = stateMoments(run).map(({ state, time }, i) => ({
    state, time, picture: pictureOf(`client-${i}`, (options) => sectionFigure(run, time, options)),
  }));
  const missing = STATES.filter((state) => !stills.some((still) => still.state === state));
  const answer = answerSentence(run);
  const rain = rainText(run);
  const section = html`<section class="storm sheet" id="client" aria-labelledby="client-name">
<h2 id="client-name"><span class="storm-name">For the house · <bdi>${plainText(storm)}</bdi>${rain === "" ? null : html` · ${rain}`}</span>${keptTogether(answer)}</h2>
<p>${WHAT_IT_IS}</p>
${neverEmpty(run) ? html`<p>Here groundwater stands in the chambers: they are never empty, and only what is above it is room for rain.</p>` : null}
${stills.map(({ state, time, picture }) => html`<div class="together"><h3>${HEAD[state]}, ${momentText(time)}</h3>
<p>${WORDS[state]}</p>
${placeOf(picture, "The works cut open along their pipes.")}</div>`)}
${missing.length === 0 ? null : html`<p>Not in this storm: ${missing.map((state) => HEAD[state].toLowerCase()).join("; ")}.</p>`}
<h3>What it will not do</h3>
<ul class="notes">${WILL_NOT.map((words) => html`<li>${words}</li>`)}</ul>
<h3>What to watch for</h3>
<ul class="notes">${WATCH.map((words) => html`<li>${words}</li>`)}</ul>
<h3>Keep away from it</h3>
<ul class="notes">${KEEP_AWAY.map((words) => html`<li>${words}</li>`)}</ul>
<p>${cautions.at(-1)!.words}</p>
</section>`;
  return { answer, section, pictures: stills.map(({ picture }) => picture) };
}

const STATES: readonly SiteState[] = ["filling", "trench running", "emitter firing", "out at the surface"];

const WHAT_IT_IS = "Rain from the roof runs into a box that holds back grit and leaves, on into chambers in stone under the ground, and from there slowly "
  + "into the soil. When the chambers are full, water runs over into a trench with a pipe; when that is full too, it lifts a lid at the surface and runs off there.";

const HEAD: Readonly<Record<SiteState, string>> = Object.freeze({
  "dry": "Before the rain", "filling": "Filling", "trench running": "The trench runs", "emitter firing": "The emitter fires",
  "out at the surface": "Out at the surface",
});

const WORDS: Readonly<Record<SiteState, string>> = Object.freeze({
  "dry": "The chambers are empty. In the box water stands up to its outlet: that is how it holds grit back, and it stays so.",
  "filling": "Rain fills the chambers faster than the soil can take it. Nothing is to be seen above the ground.",
  "trench running": "The chambers are full to the trench's pipe, and the trench fills. Still nothing is to be seen above the ground.",
  "emitter firing": "All is full. The lid at the end of the trench lifts and water runs out there: that is what it is for. It shuts by itself.",
  "out at the surface": "More comes than the emitter lets out, and water stands where it should not. If this happens in a small storm, something is blocked: call.",
});

const WILL_NOT: readonly string[] = Object.freeze([
  "It does not keep water off the lawn in every storm: in a large one the emitter runs, and in a larger one water comes out elsewhere.",
  "It does not lower the water table, and it does not drain while the water table stands in it.",
  "It does not dry a cellar. Water beside a wall needs a drain of its own.",
  "It does not look after itself: a box full of grit lets it through, and what gets into the stone stays there.",
]);

const WATCH: readonly string[] = Object.freeze([
  "The emitter runs in small storms, or on for days after one.",
  "Water over the rim of the box, or a gutter that runs over at the downpipe.",
  "Turf over the trench or the pit that is soft or sinks, days after rain.",
  "Ice or roots on the lid: it has to lift by a finger.",
]);

const KEEP_AWAY: readonly string[] = Object.freeze([
  "No cars, walls, sheds or trees over it. Roots find the water.",
  "No oil, paint, salt or dirty water into a gutter or the box: it goes into the ground.",
  "Lids stay shut and fastened: a child fits through. Nobody climbs into the box or the pit.",
  "Tell whoever digs in the garden where it lies.",
]);
