import { shareText, sitePlanFigure } from "../figures/sitePlanFigure.ts";
import { crossingsOf, shownCrossing, sitingAnswer } from "../figures/sitingAnswer.ts";
import { greatestOf } from "../numerics/extremes.ts";
import { digHoles } from "../plan/digHoles.ts";
import { chainageWords } from "../plan/holeDistances.ts";
import { roomLeft, type RoomLeft } from "../plan/roomLeft.ts";
import { type DepthRow, type SetbackRow, siting, type Siting, type SitingRow } from "../plan/siting.ts";
import { worksShapes } from "../plan/worksShapes.ts";
import { featureName } from "../site/featureName.ts";
import type { Site } from "../site/site.ts";
import { type Feature, type FeatureKind, featureKinds, type SetbackRule } from "../site/surroundings.ts";
import { materialFigures } from "../site/materials.ts";
import { isTested } from "../site/testHoles.ts";
import { trenchDepths } from "../site/trenchGround.ts";
import { distanceText } from "../text/distanceText.ts";
import { areaText, lengthText, levelText, type UnitSystem } from "../text/format.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { capital } from "../text/words.ts";
import { type Caution, cautions } from "./cautions.ts";
import { html, type Markup } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { pictureOf, placeOf } from "./placedPicture.ts";

/**
 * What stands around the works: what the holes cross, the plan, every distance from every hole, what soaks beside what others ask
 * for with who says so, what is left of the lot, and the cautions that this site calls for. Null where the file says
 * nothing of its surroundings.
 *
 * @param options.pictures  whether it is drawn; true where missing
 */
export function sitingPart(site: Site, options: { readonly pictures?: boolean } = {}): PagePart | null {
  if (site.surroundings === null) return null;
  const found = siting(site);
  const room = roomLeft(site, { rules: found.rules });
  const answer = plainText(sitingAnswer(found, site.units));
  const drawn = options.pictures !== false && sitePlanFigure(site, { siting: found, room }) !== null;
  const pictures = drawn ? [pictureOf("site-plan", (options) => sitePlanFigure(site, { ...options, siting: found, room })!)] : [];
  const { about } = site.surroundings;
  const section = html`<section aria-labelledby="siting-name">
<h2 id="siting-name"><span class="storm-name">Around the works</span> ${keptTogether(answer)}</h2>
${crossingSection(found, site.units)}
<p>${found.header} ${nearerSentence(found)}</p>
${about === "" ? null : html`<p><bdi>${plainText(about)}</bdi></p>`}
${pictures.map((plan) => placeOf(plan, CAPTION))}
${room === null ? null : html`<h3>${keptTogether(roomHead(room, site.units))}</h3>
<p>${keptTogether(roomSentence(room, site.units))}</p>`}
${holeSection(found, site)}
<h3 id="siting-asked">What soaks, beside what is asked</h3>
<p>${found.asking} They speak of what soaks: ${site.overflowTrench === null ? "the pit" : "pit and trench"}.</p>
${distanceTable(found, site.units)}
${leftOut(found)}
${found.notes.length === 0 ? null : html`<h3>Notes on the plan</h3>
<ul class="notes">${found.notes.map((note) => html`<li>${keptTogether(plainText(note))}</li>`)}</ul>`}
<h3>What this place calls for</h3>
<dl>${cautionList(site, found).flatMap(({ about: matter, words, because }) => (because === null ? [] : [html`<div><dt>${matter}</dt><dd>${words} ${keptTogether(because)}</dd></div>`]))}</dl>
</section>`;
  return { answer, section, pictures };
}

const CAPTION = "The lot from above, north up, distances from the edge of the nearest hole, or of the nearest that soaks where somebody asks for one; "
  + "“<” stands before what is asked where it is more. A heavy cross: a hole meets a line or a point. Thin lines: pipes, taken straight. "
  + "Hatched: where such a pit keeps every distance asked.";

/** What a page says first of all: what the holes cross. Null where the plan knows of nothing, which is no sign that there is nothing. */
export function crossingNotice(site: Site): Markup | null {
  const crossed = crossingsOf(siting(site));
  if (crossed.length === 0) return null;
  const words = crossed.map((row) => shownCrossing(row, site.units)).join("; ");
  return html`<p class="notice"><strong>${keptTogether(`${capital(words)}.${crossed.some(isService) ? ` ${SERVICE}` : ""}`)}</strong></p>`;
}

const SERVICE = "Nobody digs there before it is marked and exposed by hand.";

function isService({ feature: { kind } }: SitingRow): boolean {
  return kind === "service";
}

function crossingSection(found: Siting, units: UnitSystem): Markup | null {
  const crossed = found.rows.filter(({ distance }) => distance === 0);
  if (crossed.length === 0) return null;
  return html`<h3>What the holes cross</h3>
<ul class="notes">${crossed.map((row) => html`<li>${keptTogether(`${capital(shownCrossing(row, units))}.${isService(row) ? ` ${SERVICE}` : ""}`)}</li>`)}</ul>`;
}

/** Every feature from every hole, the nearest first. */
function holeSection({ rows, measured }: Siting, site: Site): Markup | null {
  if (rows.length === 0) return null;
  const holes = [...new Set((worksShapes(site)?.holes ?? []).map(({ name }) => name))];
  const columns = holes.length === 0 ? ["pit"] : holes;
  const features = [...new Set(rows.map(({ feature }) => feature))];
  const cell = (feature: Feature, hole: string): string => {
    const row = rows.find((each) => each.feature === feature && each.from === hole);
    return row === undefined ? "not measured" : row.distance === 0 ? meets(row, site.units) : distanceText(row.distance, site.units);
  };
  return html`<h3 id="siting-distances">Every distance from every hole</h3>
<p>${keptTogether(plainText(measured.join(" ")))}</p>
<div class="scroll" role="region" aria-labelledby="siting-distances" tabindex="0"><table class="words">
<thead><tr><th scope="col">from the edge of</th>${columns.map((name) => html`<th scope="col"><bdi>${plainText(name, 40)}</bdi></th>`)}</tr></thead>
<tbody>${features.map((feature) => html`<tr><th scope="row"><bdi>${nameText(feature)}</bdi></th>${columns.map((hole) => html`<td>${keptTogether(cell(feature, hole))}</td>`)}</tr>`)}</tbody>
</table></div>`;
}

function meets({ chainage }: SitingRow, units: UnitSystem): string {
  const where = chainageWords(chainage, units);
  return where === "" ? "crosses" : `crosses ${where}`;
}

/** What is nearer than a rule without a condition asks. */
function nearerSentence({ setbacks }: Siting): string {
  const plain = setbacks.filter(({ rule }) => rule.only === undefined);
  const names = (near: readonly SetbackRow[]): string => [...new Set(near.map(({ feature }) => plainText(featureName(feature))))].join(", ");
  const pit = names(plain.filter(({ pitMargin }) => pitMargin < 0));
  const trench = names(plain.filter(({ trenchMargin }) => (trenchMargin ?? 0) < 0));
  const said = [...(pit === "" ? [] : [`the pit to ${pit}`]), ...(trench === "" ? [] : [`the trench to ${trench}`])];
  return said.length === 0 ? "" : `Nearer than some of them ask: ${said.join("; ")}.`;
}

function roomHead({ area, share }: RoomLeft, units: UnitSystem): string {
  if (area === 0) return "No place is left on the lot for such a pit, lying as drawn";
  return `${areaText(area, units)} of the lot are left for such a pit, ${shareText(share)} of it`;
}

function roomSentence({ area, length, width, step, largest }: RoomLeft, units: UnitSystem): string {
  const [there, keeps, lies] = area === 0 ? ["A", "would have to keep", "lie"] : ["There a", "keeps", "lies"];
  const pit = `${there} pit of ${lengthText(length, units)} by ${lengthText(width, units)}, lying as drawn, ${keeps} every distance that is asked without a condition and ${lies} on nothing drawn; box, trench and pipes need room of their own`;
  const circle = largest === null ? "No point of the lot does"
    : `The widest circle that does, for a pit of any shape, has a radius of ${distanceText(largest.radius, units)}`;
  return `${pit}; tried every ${distanceText(step, units)}. ${circle}.`;
}

/** What is asked, a group a feature that a rule speaks of; then what lies under the floor. */
function distanceTable({ setbacks, depths }: Siting, units: UnitSystem): Markup {
  const hasTrench = setbacks.some(({ trench }) => trench !== null);
  const group = (head: string, rows: readonly Markup[]): Markup => groupOf(head, rows, hasTrench ? 5 : 4);
  const groups = [...new Set(setbacks.map(({ feature }) => feature))].map((feature) => {
    const of = setbacks.filter((row) => row.feature === feature);
    const lie = of.map((row) => ruleRow(row.rule, marginCell(row.pitMargin, units), hasTrench ? trenchCell(row, units) : null));
    return group(headText(of[0]!, units), lie);
  });
  const under = (["groundwater", "bedrock"] as const).flatMap((from) => {
    const of = depths.filter(({ rule }) => rule.from === from);
    if (of.length === 0) return [];
    return [group(depthHead(from, of[0]!, units), of.map(({ rule, margin }) => ruleRow(rule, marginCell(margin, units), hasTrench ? "" : null)))];
  });
  if (groups.length + under.length === 0) return html`<p>No rule asked speaks of anything given.</p>`;
  return html`<div class="scroll" role="region" aria-labelledby="siting-asked" tabindex="0"><table class="words">
<thead><tr><th scope="col">who asks, for what</th><th scope="col">asks</th><th scope="col">pit lies</th>${hasTrench ? html`<th scope="col">trench lies</th>` : null}<th scope="col">figure</th></tr></thead>
${[...groups, ...under]}
</table></div>`;
}

function groupOf(head: string, rows: readonly Markup[], columns: number): Markup {
  return html`<tbody><tr class="group"><th scope="rowgroup" colspan="${columns}"><bdi>${keptTogether(head)}</bdi></th></tr>
${rows}</tbody>`;
}

function nameText({ kind, name }: Feature): string {
  return capital(plainText(name === null ? featureKinds[kind] : `${featureKinds[kind]} “${name}”`));
}

function headText({ feature, pit, trench }: SetbackRow, units: UnitSystem): string {
  return `${nameText(feature)}: ${distanceText(pit, units)} from the pit${trench === null ? "" : `, ${distanceText(trench, units)} from the trench`}`;
}

function depthHead(from: "groundwater" | "bedrock", { level, found, isHighest }: DepthRow, units: UnitSystem): string {
  const where = `${capital(from)}${isHighest ? " at its highest" : ""}, ${levelText(level, units)}`;
  return `${where}: ${distanceText(Math.abs(found), units)} ${found < 0 ? "above" : "below"} the pit's floor`;
}

function ruleRow({ name, says, distance, status, only }: SetbackRule, pit: string, trench: string | null): Markup {
  const what = plainText(`${name}${only === undefined ? "" : `, ${only}`}`);
  return html`<tr><th scope="row"><bdi>${plainText(says)}</bdi> <span class="place"><bdi>${what}</bdi></span></th>
<td>${keptTogether(distance)}</td><td>${keptTogether(pit)}</td>${trench === null ? null : html`<td>${keptTogether(trench)}</td>`}<td>${status}</td></tr>`;
}

function trenchCell({ trenchMargin }: SetbackRow, units: UnitSystem): string {
  return trenchMargin === null ? "" : marginCell(trenchMargin, units);
}

function marginCell(margin: number, units: UnitSystem): string {
  const text = distanceText(Math.abs(margin), units);
  return text.startsWith("0 ") ? "just as far" : `${text} ${margin < 0 ? "nearer" : "farther"}`;
}

/** Where the figures are from; and what was not looked at, so that its absence is not taken for an answer. */
function leftOut({ rules, rows, setbacks, unmeasured }: Siting): Markup {
  const sources = [...new Set(rules.map(({ says, source, status }) => `${says}: ${source}${status === "read" ? "" : ` (${status})`}`))];
  const features = [...new Set(rows.map(({ feature }) => feature))];
  const asked = new Set(setbacks.map(({ feature }) => feature));
  const free = features.filter((feature) => !asked.has(feature)).map((feature) => plainText(featureName(feature)));
  const missing = [...new Set(unmeasured.map(({ name, says }) => `${name} (${says})`))];
  return html`${sources.length === 0 ? null : html`<p class="about">Figures from: <bdi>${plainText(sources.join("; "))}</bdi>.</p>`}
${free.length === 0 ? null : html`<p>No rule asked speaks of <bdi>${keptTogether(free.join(", "))}</bdi>.</p>`}
${missing.length === 0 ? null : html`<p>Not looked at, for the file gives nothing to measure to: <bdi>${plainText(missing.join("; "))}</bdi>.</p>`}`;
}

/** A caution and what in the site file calls for it; null where nothing in the file does, which is no proof that it is idle. */
interface SiteCaution extends Caution {
  readonly because: string | null;
}

/** Every caution, in the order of the day, with what in this site calls for it. */
export function cautionList(site: Site, siting: Siting): SiteCaution[] {
  return cautions.map((caution) => ({ ...caution, because: REASONS[caution.about]?.(site, siting) ?? null }));
}

type Reason = (site: Site, siting: Siting) => string | null;

const REASONS: Readonly<Record<string, Reason>> = Object.freeze({
  "Buried lines": buriedLines,
  "Pits": pits,
  "Spoil": spoil,
  "Slopes": slopes,
  "Contaminated or made ground": badGround,
  "Wells, septic fields and foundations": neighbours,
  "The soil": soil,
  "Who decides": () => "It holds wherever one digs.",
});

function buriedLines({ units }: Site, siting: Siting): string {
  const known = listed(siting, ["service"], units);
  if (known === null) return "No buried line is given. There may still be some.";
  const unplaced = siting.unplaced.length === 0 ? "" : ` Not on the plan and not measured from: ${plainText(siting.unplaced.join(", "))}.`;
  return `Known: ${known}. There may be others.${unplaced}`;
}

function pits(site: Site): string {
  const { chamberBank, overflowTrench, units } = site;
  const boxes = digHoles(site, materialFigures(site).figures).filter(({ kind }) => kind === "box");
  const box = boxes.length === 0 ? "" : `, ${boxes.length === 1 ? "the hole of the box" : "the deepest hole of a box"} ${lengthText(greatestOf(boxes.flatMap(({ depths }) => depths)), units)}`;
  const trench = overflowTrench === null ? "" : `, the trench ${lengthText(greatestOf(trenchDepths(overflowTrench)), units)}`;
  const water = chamberBank.groundwater;
  const isWet = water !== null && greatestOf(water.level) > chamberBank.floor;
  return `The pit is dug ${lengthText(chamberBank.ground - chamberBank.floor, units)} deep${trench}${box}${isWet ? ", and groundwater can stand in it" : ""}.`;
}

function spoil({ chamberBank: { length, width }, units }: Site): string {
  return `What comes out of a pit of ${lengthText(length, units)} by ${lengthText(width, units)} lies beside it until it is carted off.`;
}

function slopes({ surroundings, units }: Site, siting: Siting): string | null {
  const near = listed(siting, ["slope", "wall"], units);
  const fall = surroundings?.groundSlope ?? 0;
  const said = [
    ...(fall >= STEEP ? [`The ground falls ${Math.round(100 * fall)} % at the works.`] : []),
    ...(near === null ? [] : [`Given: ${near}. Water behind a wall or in a slope pushes.`]),
  ];
  return said.length === 0 ? null : said.join(" ");
}

/** A fall of the ground from which on water put into it is worth a question; common practice. */
const STEEP = 0.1;

function badGround({ units }: Site, siting: Siting): string | null {
  const near = listed(siting, ["contaminated", "madeGround"], units);
  return near === null ? null : `Given: ${near}.`;
}

function neighbours({ units }: Site, siting: Siting): string | null {
  const near = listed(siting, ["well", "septic", "building"], units);
  const slabs = siting.notes.filter((note) => note.startsWith("The slab of"));
  return near === null ? null : [`Given: ${near}.`, ...slabs].join(" ");
}

function soil({ soil: { layers } }: Site): string {
  const untested = layers.filter((layer) => !isTested(layer)).length;
  if (untested === 0) return "Every layer of the file has a test behind it; the open pit may tell otherwise.";
  return `No test is given for ${untested === layers.length ? "any layer" : `${untested} of the ${layers.length} layers`}.`;
}

/**
 * The features of some kinds, the nearest first: each hole that meets one, else its distance from the nearest hole. Null where there
 * are none.
 */
function listed({ rows }: Siting, kinds: readonly FeatureKind[], units: Site["units"]): string | null {
  const of = rows.filter(({ feature }) => kinds.includes(feature.kind));
  const found = of.filter((row, i) => row.distance === 0 || of.findIndex(({ feature }) => feature === row.feature) === i);
  return found.length === 0 ? null : found.map((row) => placed(row, units)).join(", ");
}

function placed(row: SitingRow, units: Site["units"]): string {
  const { feature, phrase, distance } = row;
  return distance === 0 ? shownCrossing(row, units) : plainText(`${featureName(feature)} ${distanceText(distance, units)} from ${phrase}`);
}
