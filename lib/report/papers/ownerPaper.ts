import { greatestOf } from "../../numerics/extremes.ts";
import { NO_FLOW } from "../../figures/flowRows.ts";
import { stateMoments, type SiteState } from "../../figures/stateMoments.ts";
import { plainText } from "../../text/plainText.ts";
import { comesOutBelowLid } from "../../simulate/exits.ts";
import { drainTime } from "../../simulate/drainTime.ts";
import { bodiesOf, passagesOf, type Run } from "../../simulate/run.ts";
import type { Site } from "../../site/site.ts";
import { floorsTake, sidesTake } from "../../site/takesIn.ts";
import { upkeepFigures } from "../../site/upkeepFigures.ts";
import { cleaningOf, MONTH } from "../../upkeep/cleaning.ts";
import { solidsIn } from "../../upkeep/solidsIn.ts";
import { html, type Markup } from "../markup.ts";
import { blank, rows, type Sheet } from "./paperFrame.ts";
import type { Reader } from "./reader.ts";
import { sectionDrawing, type SectionWater } from "./sectionDrawing.ts";

/** The owner's two sheets, in plain words. */
export function ownerPaper(run: Run, storm: string, reader: Reader): Sheet[] {
  return [{ title: reader.say("own1.title"), body: whatSheet(run, storm, reader) }, { title: reader.say("own2.title"), body: careSheet(run, reader) }];
}

function whatSheet(run: Run, storm: string, reader: Reader): Markup {
  const { site } = run;
  const { say, depth, lasting } = reader;
  const { settlingBoxes: boxes, chamberBank: pit } = site;
  const moments = stateMoments(run);
  const missing = (["filling", "trench running", "emitter firing"] as const).filter((state) => hasState(site, state) && !moments.some((each) => each.state === state));
  const rain = run.rain === null ? "" : ` (${depth(run.rain.depth.reduce((sum, each) => sum + each, 0))})`;
  const sumps = boxes.some(({ floor, outlet }) => outlet.crest - floor > 0.01);
  const table = pit.groundwater === null ? -Infinity : greatestOf(pit.groundwater.level);
  const chambers = pit.chambers.length === 0 ? "" : say("own.chambers");
  const isFed = boxes.some(({ name }) => site.catchments.some(({ drainsTo }) => drainsTo === name));
  const what = !isFed ? say("own.whatNoBox", { chambers }) : say("own.what", {
    box: boxes.length === 1 ? say("own.box") : say("own.boxes", { n: boxes.length }), grit: sumps ? say(boxes.length === 1 ? "own.grit" : "own.gritMany") : "", chambers,
  });
  const isStorm = run.rain !== null;
  return html`<p>${what} ${say(floorsTake(site) || sidesTake(site) ? "own.soaks" : "own.stays")}${site.overflowTrench === null ? "" : ` ${say("own.trench")}`}${site.emitter === null ? "" : ` ${say(lidKey(run))}`}${table > pit.floor ? ` ${say("own.groundwater")}` : ""} ${sizeWords(site, reader)}</p>
<h2>${isStorm ? say("own.states", { storm: plainText(storm, 50), rain }) : say("own.whatHappens", { storm: plainText(storm, 50) })}</h2>
<div class="two">${moments.slice(-4).map(({ state, time }) => html`<figure>${sectionDrawing(site, say("own.picture", { state: say(`own.state.${state}`) }), { water: waterAt(run, time), height: 260 })}<figcaption><b>${state === "dry" && comesIn(run, time) ? say("own.state.wet") : say(`own.state.${state}`)}</b> ${state === "dry" ? say(isStorm ? "own.before" : "own.atStart") : say(isStorm ? "own.after" : "own.afterStart", { time: lasting(time) })}.</figcaption></figure>`)}</div>
${missing.length === 0 ? null : html`<p>${say(isStorm ? "own.state.not" : "own.state.notHere", { states: missing.map((state) => say(`own.state.${state}`)).join(" · ") })}</p>`}
<div class="box"><h2>${say("own.drainHead")}</h2><p>${drainWords(run, reader)}</p><p>${lookWords(run, reader)}</p></div>`;
}

/** The size of what was drawn, so that it is told from another. */
function sizeWords({ chamberBank: pit, overflowTrench: trench }: Site, { say, tape }: Reader): string {
  return say("own.size", {
    long: tape(pit.length), wide: tape(pit.width), deep: tape(pit.ground - pit.floor), ditch: trench === null ? "" : say("own.sizeDitch", { long: tape(trench.length) }),
  });
}

/** What becomes of water that fills the trench: a lid lifts, or is held shut all through, or something lower lets water out first. */
function lidKey({ site, until }: Run): "own.lid" | "own.lidHeld" | "own.lidBelow" {
  if (comesOutBelowLid(site)) return "own.lidBelow";
  return site.emitter!.heldShut.some(({ from, to }) => from <= 0 && to >= until) ? "own.lidHeld" : "own.lid";
}

function hasState({ overflowTrench, emitter }: Site, state: SiteState): boolean {
  return (state !== "trench running" || overflowTrench !== null) && (state !== "emitter firing" || emitter !== null);
}

/** Whether groundwater comes in through floor or sides, or runs back out of a trench that stands in it. */
function comesIn(run: Run, time: number): boolean {
  return passagesOf(run, "bankSeepage", "trenchSeepage", "trenchInlet").some((passage) => run.flow(passage, time) < -NO_FLOW);
}

function waterAt(run: Run, time: number): SectionWater {
  const trenches = bodiesOf(run, "trench");
  return {
    boxes: bodiesOf(run, "box").map((name) => run.level(name, time)), pit: run.level(bodiesOf(run, "bank")[0]!, time),
    trench: trenches.length === 0 ? null : run.level(trenches.at(-1)!, time), emitter: run.site.emitter !== null && run.passages.includes("emitter") && run.flow("emitter", time) > 1e-7,
  };
}

/** How far down a tape finds the water when the works are ready again, half an inch of doubt taken off. */
function lookWords(run: Run, { say, tape }: Reader): string {
  const { ground, floor } = run.site.chamberBank;
  const time = drainTime(run);
  const stands = time !== null && time.rest !== "floor";
  return say(stands ? "own.lookRest" : "own.look", { tape: tape(ground - (stands ? Math.max(floor, time.restLevel) : floor) - 0.0127) });
}

function drainWords(run: Run, { say, lasting }: Reader): string {
  const time = drainTime(run);
  if (time === null) return say("own.drainNothing");
  if (time.empty === null) return say("own.drainNever");
  return say(time.rest === "floor" ? "own.drain" : "own.drainGround", { time: lasting(time.empty) });
}

function careSheet({ site }: Run, reader: Reader): Markup {
  const { say } = reader;
  const { figures } = upkeepFigures(site);
  const { every } = cleaningOf(solidsIn(site, figures), site.upkeep?.cleanEvery ?? null);
  const calendar: (readonly [when: string, what: string])[] = [
    [everyWords(every, reader), say("own.cal.box")], [say("own.cal.twice"), say("own.cal.gutter")],
    ...(site.emitter === null ? [] : [[say("own.cal.season"), say("own.cal.lid")] as const]),
    [say("own.cal.storm"), say("own.cal.look")],
  ];
  return html`<div class="two"><div><h2>${say("own.notHead")}</h2><ul>${(["own.not.all", "own.not.table", "own.not.self"] as const).map((key) => html`<li>${say(key)}</li>`)}</ul></div>
<div><h2>${say("own.keepHead")}</h2><ul>${([
    "own.keep.load", "own.keep.dirt", "own.keep.lids", ...(site.emitter === null ? [] : ["own.keep.lid" as const]), "own.keep.climb", "own.keep.dig",
  ] as const).map((key) => html`<li>${say(key)}</li>`)}</ul></div></div>
<h2>${say("own.calHead")}</h2>
${rows([say("own.cal.when"), say("own.cal.what"), say("own.cal.done")], calendar.map(([when, what]) => [html`<b>${when}</b>`, what, html`${blank(10)}<br>${blank(10)}<br>${blank(10)}`]), { label: say("own.calHead") })}
<p><b>${say("own.cal.year")}:</b> ${say("own.cal.time")} ${[0, 1, 2, 3, 4, 5].map(() => blank(9))}</p>
<h2>${say("own.callHead")}</h2>
<p><b>${say(site.emitter === null ? "own.callIfNoLid" : "own.callIf")}</b></p>
<p>${say("own.call.built")}: ${blank(40)}</p><p>${say("own.call.designed")}: ${blank(40)}</p><p>${say("own.call.emergency")}: ${blank(40)}</p>
<p class="soft">${say("own.decide")}</p>`;
}

function everyWords(every: number, { say }: Reader): string {
  const months = Math.max(1, Math.round(every / MONTH));
  if (months === 1) return say("own.cal.month");
  if (months === 12) return say("own.cal.year");
  return months % 12 === 0 ? say("own.cal.years", { n: months / 12 }) : say("own.cal.months", { n: months });
}
