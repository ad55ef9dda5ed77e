import { answerSentence, groundwaterOut } from "../figures/answer.ts";
import { DRY } from "../figures/bodyViews.ts";
import { NO_FLOW } from "../figures/flowRows.ts";
import { momentText } from "../text/hours.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { rainText } from "../figures/rainPanel.ts";
import { sectionFigure } from "../figures/sectionFigure.ts";
import { stateMoments, surfaceFlow, type SiteState } from "../figures/stateMoments.ts";
import { comesOutBelowLid } from "../simulate/exits.ts";
import { filledByGroundwater } from "../simulate/freeVolume.ts";
import { passagesOf, type Run } from "../simulate/run.ts";
import type { SettlingBox, Site } from "../site/site.ts";
import { floorsTake, sidesTake } from "../site/takesIn.ts";
import { cautions } from "./cautions.ts";
import { neverEmpty } from "./drainWords.ts";
import { html } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { pictureOf, placeOf } from "./placedPicture.ts";
import { heightText } from "../text/words.ts";

/**
 * A sheet for those who will live with the works: what they do in plain words, a still of each state that a storm brings, what they
 * will not do, what to watch for, and who to ask. Upkeep has a sheet of its own (`yearsPart`).
 *
 * @param run  of the storm that the stills are taken from
 */
export function clientSheet(run: Run, storm: string): PagePart {
  const stills = stateMoments(run).map(({ state, time }, i) => ({
    state, time, picture: pictureOf(`client-${i}`, (options) => sectionFigure(run, time, options)),
  }));
  const missing = STATES.filter((state) => hasState(run.site, state) && !stills.some((still) => still.state === state) && !(state === "trench running" && trenchRan(run)));
  const answer = answerSentence(run);
  const rain = rainText(run);
  const section = html`<section class="storm sheet" id="client" aria-labelledby="client-name">
<h2 id="client-name"><span class="storm-name">For the house · <bdi>${plainText(storm)}</bdi>${rain === "" ? null : html` · ${rain}`}</span>${keptTogether(answer)}</h2>
<p>${whatItIs(run)}</p>
${filledByGroundwater(run.site) ? html`<p>Here groundwater alone fills the works to where water comes out: there is no room for rain.</p>`
    : neverEmpty(run) ? html`<p>Here groundwater stands in the pit: it is never empty, and only what is above the water table is room for rain.</p>` : null}
${stills.map(({ state, time, picture }) => html`<div class="together"><h3>${headOf(state, run)}, ${momentText(time)}</h3>
<p>${WORDS[state](run, time)}</p>
${placeOf(picture, "The works cut open along their pipes.")}</div>`)}
${missing.length === 0 ? null : html`<p>${run.rain === null ? "Not this time" : "Not in this storm"}: ${missing.map((state) => headOf(state, run).toLowerCase()).join("; ")}${missing.includes("out at the surface") && run.site.emitter !== null ? " elsewhere" : ""}.</p>`}
<h3>What it will not do</h3>
<ul class="notes">${willNot(run).map((words) => html`<li>${words}</li>`)}</ul>
<h3>What to watch for</h3>
<ul class="notes">${watchFor(run).map((words) => html`<li>${words}</li>`)}</ul>
<h3>Keep away from it</h3>
<ul class="notes">${KEEP_AWAY.map((words) => html`<li>${words}</li>`)}</ul>
<p>${cautions.at(-1)!.words}</p>
</section>`;
  return { answer, section, pictures: stills.map(({ picture }) => picture) };
}

const STATES: readonly SiteState[] = ["filling", "trench running", "emitter firing", "out at the surface"];

/** Whether the works have what a state speaks of. */
function hasState({ overflowTrench, emitter }: Site, state: SiteState): boolean {
  return (state !== "trench running" || overflowTrench !== null) && (state !== "emitter firing" || emitter !== null);
}

/** Whether the trench took water over, be it that the emitter ran from then on. */
function trenchRan({ events }: Run): boolean {
  return events.some(({ kind }) => kind === "runsOver");
}

/** What the works hold water in. */
function room({ chamberBank }: Site): string {
  return chamberBank.chambers.length > 0 ? "chambers" : "stone";
}

function whatItIs(run: Run): string {
  const { site } = run;
  const { settlingBoxes, chamberBank, overflowTrench, emitter } = site;
  const bed = chamberBank.chambers.length > 0 ? "chambers in stone under the ground" : "a bed of stone under the ground";
  const boxes = settlingBoxes.length === 1 ? "a box" : "boxes";
  const holds = !settlingBoxes.some(hasSump) ? "" : ` that ${settlingBoxes.length === 1 ? "holds" : "hold"} back grit and leaves`;
  const way = settlingBoxes.some(({ name }) => isFed(site, name)) ? `Rain runs into ${boxes}${holds}, on into ${bed}` : `Rain runs into ${bed}`;
  const soaks = floorsTake(site) || sidesTake(site);
  const trench = overflowTrench === null ? ""
    : overflowTrench.inlet.crest > chamberBank.ground ? " A trench beside it lies so high that water comes up through the ground over the pit before it runs over."
    : ` When ${chamberBank.chambers.length > 0 ? "the chambers are" : "that is"} full, water runs over into a trench${overflowTrench.pipe === null ? " of stone" : " with a pipe"}`
      + (emitter === null ? "." : `; when that is full too, ${lidWords(run)}.`);
  const stays = (emitter?.weepHole ?? null) === null ? "and stays there: this soil is taken to take in nothing" : "and stays there, but for what a small hole under the lid lets into the soil";
  return `${way}${soaks ? ", and from there slowly into the soil" : `, ${stays}`}.${trench}`;
}

/** What becomes of water that fills the trench. */
function lidWords(run: Run): string {
  if (comesOutBelowLid(run.site)) return "it comes out at the surface";
  return isHeldThrough(run) ? "it should lift a lid at the surface and run off there, but here that lid is held shut" : "it lifts a lid at the surface and runs off there";
}

/** Whether the emitter's lid is held shut from the beginning of a run to its end. */
function isHeldThrough({ site: { emitter }, until }: Run): boolean {
  return emitter !== null && emitter.heldShut.some(({ from, to }) => from <= 0 && to >= until);
}

function headOf(state: SiteState, { rain }: Run): string {
  return {
    "dry": rain === null ? "At the start" : "Before the rain", "filling": "Filling", "trench running": "The trench runs",
    "emitter firing": "The emitter runs", "out at the surface": "Out at the surface",
  }[state];
}

const WORDS: Readonly<Record<SiteState, (run: Run, time: number) => string>> = Object.freeze({
  "dry": (run: Run, time: number) => `The ${room(run.site)} ${run.site.chamberBank.chambers.length > 0 ? "are" : "is"} empty`
    + `${groundwaterComesIn(run, time) ? ", though groundwater runs in" : ""}.${sumpWords(run.site)}`,
  "filling": (run: Run, time: number) => `${fills(run)} ${seen(run, time)}`,
  "trench running": (run: Run, time: number) => `The ${room(run.site)} ${run.site.chamberBank.chambers.length > 0 ? "are" : "is"} full to the pipe into the trench, `
    + `and the trench takes over. ${seen(run, time)}`,
  "emitter firing": (run: Run) => "The water has risen to the lid at the end of the trench, which lifts, and water runs out there: that is what it is for. " + shutsWords(run),
  "out at the surface": outWords,
});

/** Whether groundwater comes in through the floor or sides of pit or trench, or runs back out of a trench that stands in it. */
function groundwaterComesIn(run: Run, time: number): boolean {
  return passagesOf(run, "bankSeepage", "trenchSeepage", "trenchInlet").some((passage) => run.flow(passage, time) < -NO_FLOW);
}

/** What becomes of the open lid: groundwater that stands as high lifts it again and again, or for good. */
function shutsWords(run: Run): string {
  if (groundwaterOut(run) !== null) return "Here groundwater alone rises as high: water runs out there whether it rains or not.";
  return run.firings.at(-1)!.end === null ? "It shuts by itself once the water has gone down, after the time looked at here." : "It shuts by itself.";
}

/** Whether rain runs into a body straight from where it falls. */
function isFed({ catchments }: Site, body: string): boolean {
  return catchments.some(({ drainsTo }) => drainsTo === body);
}

function hasSump({ floor, outlet: { crest } }: SettlingBox): boolean {
  return crest - floor > DRY;
}

function sumpWords({ settlingBoxes }: Site): string {
  const sumps = settlingBoxes.filter(hasSump);
  if (sumps.length === 0) return "";
  const which = settlingBoxes.length === 1 ? "the box" : `box “${plainText(sumps[0]!.name, 24)}”`;
  return sumps.length === 1 ? ` In ${which} water stands up to its outlet: that is how it holds grit back, and it stays so.`
    : " In the boxes water stands up to their outlets: that is how they hold grit back, and it stays so.";
}

function fills({ site, ledger, rain }: Run): string {
  if (!(ledger.inflow > 0)) return `Groundwater rises into the ${room(site)}.`;
  if (filledByGroundwater(site)) return `${rain === null ? "Water" : "Rain"} comes on top of the groundwater that fills the ${room(site)}.`;
  return `${rain === null ? "Water" : "Rain"} fills the ${room(site)}${floorsTake(site) || sidesTake(site) ? " faster than the soil can take it" : ""}.`;
}

/** What can be seen over the ground at a moment. */
function seen(run: Run, time: number): string {
  const { site } = run;
  const { up, lip } = surfaceFlow(run, time);
  const depth = site.lowSpot === null ? 0 : run.level("lowSpot", time) - site.lowSpot.floor;
  const sights = [
    ...(depth > DRY ? [`water stands ${heightText(depth, site.units)} deep in the low spot`] : []),
    ...(site.emitter !== null && run.flow("emitter", time) > NO_FLOW ? ["the emitter runs"] : []),
    ...(up > NO_FLOW || lip > NO_FLOW ? ["water comes out where it should not"] : []),
  ];
  return sights.length === 0 ? "Nothing is to be seen above the ground." : `Above the ground, ${sights.join(" and ")}.`;
}

function outWords(run: Run, time: number): string {
  const { site, events } = run;
  const { up } = surfaceFlow(run, time);
  const why = up <= NO_FLOW ? "More runs into the low spot than it holds, and it runs over its lip."
    : site.emitter === null ? "More comes than the works hold, and water stands where it should not."
    : run.flow("emitter", time) > NO_FLOW ? "More comes than the emitter lets out, and water stands where it should not."
    : events.some(({ kind }) => kind === "lidHeld") ? "The lid is held shut, and water stands where it should not."
    : "Water comes out elsewhere before it lifts the lid, and stands where it should not.";
  return `${why} If this happens in a small storm, something is blocked: call.`;
}

function willNot(run: Run): string[] {
  const { site } = run;
  return [
    `It does not keep water off the lawn in every storm: in a large one ${site.emitter === null || comesOutBelowLid(site) || isHeldThrough(run) ? "water comes out at the surface" : "the emitter runs, and in a larger one water comes out elsewhere"}.`,
    "It does not lower the water table, and it does not drain while the water table stands in it.",
    "It does not dry a cellar. Water beside a wall needs a drain of its own.",
    "It does not look after itself: a box full of grit lets it through, and what gets into the stone stays there.",
  ];
}

function watchFor(run: Run): string[] {
  const { emitter, overflowTrench, settlingBoxes } = run.site;
  return [
    // where groundwater alone lifts the lid that is no sign of anything
    ...(emitter === null || groundwaterOut(run) !== null ? [] : ["The emitter runs in small storms, or on for days after one."]),
    `Water over the rim of ${settlingBoxes.length === 1 ? "the box" : "a box"}, or a gutter that runs over at the downpipe.`,
    `Turf over the ${overflowTrench === null ? "pit" : "trench or the pit"} that is soft or sinks, days after rain.`,
    ...(emitter === null ? [] : ["Ice or roots on the lid: it has to lift by a finger."]),
  ];
}

const KEEP_AWAY: readonly string[] = Object.freeze([
  "No cars, walls, sheds or trees over it. Roots find the water.",
  "No oil, paint, salt or dirty water into a gutter or the box: it goes into the ground.",
  "Lids stay shut and fastened: a child fits through. Nobody climbs into the box or the pit.",
  "Tell whoever digs in the garden where it lies.",
]);
