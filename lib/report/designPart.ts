import { momentText } from "../text/hours.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { sectionFigure } from "../figures/sectionFigure.ts";
import { roomWords, sitePlanFigure } from "../figures/sitePlanFigure.ts";
import { criterionWords, designWords, reachedText, several, sizeAnswer, sizeReason, tapeText } from "../figures/sizeAnswer.ts";
import { layerText } from "../figures/runSubtitle.ts";
import { separation } from "../ground/separation.ts";
import { isPressedShut, lidSpare, stopsAtInlet } from "../simulate/exits.ts";
import type { Run } from "../simulate/run.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import { boxStation } from "../plan/levelRows.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import type { OverflowTrench, Pipe, SettlingBox, Site } from "../site/site.ts";
import { measuredBy, measuredSoil } from "../site/measuredSoil.ts";
import { trenchDepths } from "../site/trenchGround.ts";
import { roomLeft, type RoomLeft } from "../plan/roomLeft.ts";
import { siting, type Siting } from "../plan/siting.ts";
import { heldWords } from "../study/fit.ts";
import type { SizedDesign, Sizing } from "../study/size.ts";
import { bulkText, twoFigures } from "../text/format.ts";
import { areaText, levelText } from "../text/format.ts";
import { sizeText } from "../text/format.ts";
import { capital, heightText } from "../text/words.ts";
import { html, type Markup } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";
import { pictureOf, placeOf } from "./placedPicture.ts";
import { sectionCaption } from "../figures/sectionCaption.ts";

/**
 * The design that a page is about: the chosen one, drawn and dimensioned, with what it asks of the ground and the lot, and the file's own
 * beside it. Where nothing tried does what is asked and fits, the file's own is what the page is about, and the answer says why.
 *
 * @param chosen  the site as it is run in all that follows
 * @param saved   the file that the chosen design was written to; null where it is the file's own
 */
export function designPart(sizing: Sizing, chosen: Site, saved: string | null): PagePart {
  const { asDrawn, best } = sizing;
  const design = best ?? asDrawn;
  const run = firstRun(chosen, sizing, design);
  const section = run === null ? [] : [pictureOf("design-section", (options) => sectionFigure(run, run.peaks["chamberBank"]!.time, options))];
  const found = chosen.surroundings === null ? null : siting(chosen);
  const room = found === null ? null : roomLeft(chosen, { rules: found.rules });
  const plan = found === null ? [] : planPicture(chosen, found, room);
  const answer = sizeAnswer(sizing);
  const markup = html`<section class="storm" id="design" aria-labelledby="design-name">
<h2 id="design-name"><span class="storm-name">${best === null ? "The design as drawn" : "The design"}</span>${keptTogether(capital(designWords({ site: chosen })))}</h2>
<p>${best === null ? "No design tried does what is asked and fits, so all that follows is about the file’s own design."
    : html`All that follows is about this design${saved === null ? ", which is the file’s own" : html`; it is written to <code>${saved}</code>, which runs as it is`}.`}</p>
${section.map((picture) => placeOf(picture, run === null ? "" : `${momentWords(sizing, design, run)} ${sectionCaption(run, run.peaks["chamberBank"]!.time)}`))}
${sizeTable(chosen, sizing.site, best !== null)}
${askedTable(sizing, design)}
${best === null ? null : html`<p>${keptTogether(sizeReason(sizing)!)}</p>`}
${elsewhereWords(sizing)}
${inStorms(chosen, sizing, design)}
<h3 id="design-ground">What it asks of the ground</h3>
<ul class="notes">${[...groundWords(chosen, design), ...trenchMoved(chosen, sizing.site), ...(found === null ? [] : [...found.notes, found.asking])].map((words) => html`<li>${keptTogether(plainText(words, Infinity))}</li>`)}</ul>
${plan.map((picture) => placeOf(picture, `The ${best === null ? "design as drawn" : "chosen design"} on its lot, north up, with what it is nearest to${room === null ? "" : `; ${roomWords(room)}`}.`))}
</section>`;
  return { answer, section: markup, pictures: [...section, ...plan] };
}

/** The plan, with distances and room looked for once for all widths. */
function planPicture(chosen: Site, found: Siting, room: RoomLeft | null): readonly ReturnType<typeof pictureOf>[] {
  const given = { siting: found, room };
  return sitePlanFigure(chosen, given) === null ? [] : [pictureOf("design-plan", (options) => sitePlanFigure(chosen, { ...options, ...given })!)];
}

/** The design in the storm that decides the first thing asked; null where that run could not be made. */
function firstRun(chosen: Site, { criteria }: Sizing, { decided }: SizedDesign): Run | null {
  return criteria.length === 0 ? null : runOf(chosen, decided[0]!.rain);
}

/** Null where the run could not be made. */
function runOf(chosen: Site, rain: Hyetograph): Run | null {
  try {
    return settledRun(chosen, rain);
  } catch (fault) {
    if (fault instanceof StoppedRun) return null;
    throw fault;
  }
}

/** The storm that decides one thing asked. */
function stormName(c: number, { criteria, storms }: Sizing, { decided }: SizedDesign): string {
  const { duration, dayBefore } = decided[c]!;
  return `${storms[criteria[c]!.storm]!}${duration === null ? "" : `: that of ${duration}`}${dayBefore === null ? "" : ", after a day of rain"}`;
}

/** Of which storm and moment the section is. */
function momentWords(sizing: Sizing, design: SizedDesign, run: Run): string {
  return `At the highest water of the pit, ${momentText(run.peaks["chamberBank"]!.time)}, in “${plainText(stormName(0, sizing, design), 60)}”.`;
}

/** What the runs of the storms asked for say that no figure of the table does: how little is to spare, what lifts the turf. */
function inStorms(chosen: Site, sizing: Sizing, design: SizedDesign): Markup | null {
  const told = new Map<string, string>();
  design.decided.forEach(({ rain }, c) => {
    const name = stormName(c, sizing, design);
    const run = told.has(name) ? null : runOf(chosen, rain);
    if (run !== null) told.set(name, run.notes.filter((note) => !chosen.notes.includes(note)).join(" ") + spareWords(run));
  });
  const lines = [...told].filter(([, words]) => words !== "");
  return lines.length === 0 ? null : html`<ul class="notes">${lines.map(([name, words]) => html`<li>In “${plainText(name, 60)}”: ${keptTogether(plainText(words, Infinity))}</li>`)}</ul>`;
}

/** A lid that stays shut by less than levels are set out to, half an inch (common practice, no source). */
function spareWords(run: Run): string {
  const { emitter } = run.site;
  // a lid that a pond or a hand keeps shut, or a trench that stays dry, does not hang on the crest
  if (emitter === null || run.firings.length > 0 || isPressedShut(run) || stopsAtInlet(run, emitter.opensAt)) return "";
  const spare = lidSpare(run);
  return spare > 0 && spare < 0.0127 && !run.events.some(({ kind }) => kind === "lidHeld") ? " The lid stays shut by less than levels are set out to: a crest a little low or a little more rain opens it." : "";
}

/** A trench of another length keeps the levels of both its ends: what the drawn ground has at the place where its lid then lies. */
function trenchMoved({ overflowTrench: trench, emitter, units }: Site, { overflowTrench: drawn }: Site): string[] {
  if (trench === null || drawn === null || Math.abs(trench.length - drawn.length) < 0.01) return [];
  const end = trench.length < drawn.length ? "nearer the pit" : "farther from it";
  const moved = `The low end of the trench lies ${tapeText(Math.abs(trench.length - drawn.length), units)} ${end} than drawn and keeps its levels`;
  if (trench.length > drawn.length) return [`${moved}: how the ground lies there is to be read first.`];
  const { high, low } = drawn.ground;
  const rise = ((high - low) * (drawn.length - trench.length)) / drawn.length;
  if (Math.abs(rise) < 0.0127) return [];
  const words = heightText(Math.abs(rise), units);
  const works = emitter === null ? "the trench" : "trench and lid";
  return [rise > 0 ? `${moved}, where the ground as drawn stands ${words} higher: cut the ground down there, or raise ${works} by that and run it again.`
    : `${moved}, where the ground as drawn stands ${words} lower: fill up there, or lower ${works} by that and run it again.`];
}

/** Length, width and depth of every body, and the pipes, beside the drawn ones. */
function sizeTable(chosen: Site, drawn: Site, isChosen: boolean): Markup {
  const rows = bodyRows(chosen);
  const before = bodyRows(drawn);
  const beside = isChosen ? rows.map((its) => {
    const other = before.find(({ name }) => name === its.name);
    return other === undefined ? "none" : cellsWords(other) === cellsWords(its) ? "the same" : cellsWords(other);
  }) : null;
  return html`<div class="scroll" role="region" aria-label="Sizes" tabindex="0"><table>
<thead><tr><th scope="col">body</th><th scope="col">long</th><th scope="col">wide</th><th scope="col">deep</th>${beside === null ? null : html`<th scope="col">as drawn</th>`}</tr></thead>
<tbody>${rows.map(({ name, count, cells }, i) => html`<tr><th scope="row"><bdi>${count === undefined ? plainText(name, 60) : several(count, name)}</bdi></th>${cells.map((cell) => html`<td>${keptTogether(cell)}</td>`)}${beside === null ? null : html`<td>${keptTogether(beside[i]!)}</td>`}</tr>`)}</tbody>
</table></div>
<p>Depths are from the ground to the floor, of a box from its rim; of the trench at its two ends.</p>`;
}

interface BodyRow {
  readonly name: string;
  /** of chambers, how many */
  readonly count?: number;
  readonly cells: readonly [long: string, wide: string, deep: string];
}

/** What a body measures, in one cell, with the number of what there are several of. */
function cellsWords({ count, cells }: BodyRow): string {
  return `${count === undefined ? "" : `${count}, `}${cells.filter((cell) => cell !== "").join(" × ")}`;
}

function bodyRows(site: Site): BodyRow[] {
  const { settlingBoxes, chamberBank: pit, overflowTrench: trench, emitter, units } = site;
  const tape = (length: number): string => tapeText(length, units);
  const pipe = (name: string, { length, diameter }: Pipe): BodyRow => ({ name, cells: [tape(length), sizeText(diameter, units), ""] });
  const box = (each: SettlingBox): BodyRow => ({
    name: boxStation(each, site),
    cells: "diameter" in each.plan ? [`${sizeText(each.plan.diameter, units)} across`, "", tape(each.rim - each.floor)]
      : [tape(each.plan.length), tape(each.plan.width), tape(each.rim - each.floor)],
  });
  return [
    ...settlingBoxes.flatMap((each) => [box(each), pipe(settlingBoxes.length === 1 ? "pipe from the settling box" : `pipe from ${each.name}`, each.outlet)]),
    { name: "pit", cells: [tape(pit.length), tape(pit.width), tape(pit.ground - pit.floor)] },
    { name: "stone in the pit", cells: [tape(pit.length), tape(pit.width), tape(pit.stone.depth)] },
    ...pit.chambers.map(({ count, outsideDiameter, height }): BodyRow => ({
      name: "chamber", count, cells: [`${sizeText(outsideDiameter, units)} across`, "", sizeText(height, units)],
    })),
    ...(trench === null ? [] : [
      pipe("pipe to the trench", trench.inlet), { name: "overflow trench", cells: [tape(trench.length), tape(trench.width), depthsText(trench, units)] } satisfies BodyRow,
    ]),
    ...(emitter === null ? [] : [{ name: "emitter", cells: [`${sizeText(emitter.diameter, units)} across`, "", ""] } satisfies BodyRow]),
  ];
}

function depthsText(trench: OverflowTrench, units: Site["units"]): string {
  const [high, low] = trenchDepths(trench).map((depth) => tapeText(depth, units));
  return high === low ? high! : `${high} to ${low}`;
}

/** What is asked, beside what the chosen and the drawn design reach. */
function askedTable(sizing: Sizing, design: SizedDesign): Markup {
  const { criteria, asDrawn, best, site: { units } } = sizing;
  const room = ({ fit: { fits } }: SizedDesign): string => (fits === null ? "not looked at" : fits ? "yes" : "no");
  const cell = (each: SizedDesign, c: number): string => `${reachedText(criteria[c]!, each.reached[c]!, units)}${each.met[c] ? "" : ", misses"}`;
  return html`<div class="scroll" role="region" aria-label="What is asked" tabindex="0"><table>
<thead><tr><th scope="col">asked${sizing.sidesOnly ? ", with silt over the floors" : ""}</th>${best === null ? null : html`<th scope="col">this design</th>`}<th scope="col">as drawn</th>${sizing.sealed === null ? null : html`<th scope="col">larger, for floors sealed by silt</th>`}</tr></thead>
<tbody>${criteria.map((criterion, c) => html`<tr><th scope="row">${keptTogether(capital(criterionWords(criterion, sizing)))}</th>${best === null ? null : html`<td>${keptTogether(cell(design, c))}</td>`}<td>${keptTogether(cell(asDrawn, c))}</td>${sizing.sealed === null ? null : html`<td>${keptTogether(cell(sizing.sealed, c))}</td>`}</tr>`)}
<tr><th scope="row">Has room on the lot</th>${best === null ? null : html`<td>${room(design)}</td>`}<td>${room(asDrawn)}</td>${sizing.sealed === null ? null : html`<td>${room(sizing.sealed)}</td>`}</tr>
<tr><th scope="row">To dig</th>${best === null ? null : html`<td>${bulkText(design.dug, units)}</td>`}<td>${bulkText(asDrawn.dug, units)}</td>${sizing.sealed === null ? null : html`<td>${bulkText(sizing.sealed.dug, units)}</td>`}</tr></tbody>
</table></div>`;
}

/** What a criterion of one duration does not ask for, and the design does not do. */
function elsewhereWords(sizing: Sizing): Markup | null {
  const { elsewhere, criteria, site: { units } } = sizing;
  if (elsewhere.length === 0) return null;
  return html`<p class="notice">${keptTogether(elsewhere.map(({ criterion, duration, reached }) => (
    `${capital(criterionWords(criteria[criterion]!, sizing))} is asked, and not for other durations of the same return period: in one of ${duration} ${missedWords(criteria[criterion]!, reached, units)}.`)).join(" "))} Without a <code>duration</code> in the file every duration is asked.</p>`;
}

function missedWords(criterion: Sizing["criteria"][number], value: number, units: Site["units"]): string {
  const reached = reachedText(criterion, value, units);
  switch (criterion.asks) {
    case "noFiring": case "emitterVolumeAtMost": return Number.isNaN(value) ? "the run could not go on to its end" : `the emitter lets out ${reached}`;
    case "noSpill": return Number.isNaN(value) ? "the run could not go on to its end" : `${reached} come out elsewhere`;
    case "halfEmptyWithin": return Number.isNaN(value) ? "it is not half empty within the run" : `it takes ${reached} to half empty`;
    case "emptyWithin": return Number.isNaN(value) ? "it is not empty within the run" : `it takes ${reached} to empty`;
    case "boxHeadroom": return Number.isNaN(value) ? "the run could not go on to its end" : `the water in the box stands ${reached}${value < 0 ? "" : " from the rim"}`;
  }
}

/** What was measured since beside what the design counts on; sizes and storms follow the rule, whatever was measured. */
function measuredWords(chosen: Site): string[] {
  const measured = measuredSoil(chosen);
  if (measured === null) return [];
  const { factorOfSafety } = chosen.soil;
  const [value, low, high] = [measured.factor, measured.low, measured.high].map((each) => twoFigures(factorOfSafety * each));
  return [`${capital(measuredBy(measured))} found that the soil takes in ${value} times (${low} to ${high}) what this design counts on; the parts “how sure” and “how often” are drawn round that, sizes and single storms are not.${factorOfSafety * measured.high < 1 ? " It is slower than the design counts on: give the soil of the file the measured figure and size again." : ""}`];
}

/** What the design counts on: soil, water table, room. */
function groundWords(chosen: Site, { fit, dug }: SizedDesign): string[] {
  const { chamberBank: pit, overflowTrench: trench, soil, units } = chosen;
  const floor = pit.length * pit.width;
  const table = pit.groundwater === null ? null : separation(pit.floor, pit.groundwater);
  return [
    `Soil that takes in ${soil.layers.map((layer) => layerText(chosen, layer)).join(", then ")} from the top down, over a pit floor of ${areaText(floor, units)}${trench === null ? "" : ` and a trench floor of ${areaText(trench.length * trench.width, units)}`}.`,
    ...measuredWords(chosen),
    table === null ? "No level of groundwater is given: it is taken to be far below."
      : table < 0 ? `Groundwater stands up to ${tapeText(-table, units)} over the floor of the pit, which lies at ${levelText(pit.floor, units)}.`
        : `Groundwater no nearer than ${tapeText(table, units)} under the floor of the pit, which lies at ${levelText(pit.floor, units)}.`,
    `${bulkText(dug, units)} to dig.`,
    fit.fits === null ? "The file says nothing of what stands around the works: whether they fit was not looked at."
      : fit.fits ? `Pit and trench lie on the lot, cross nothing drawn and keep every distance asked without a condition; the pit keeps ${heldWords(fit)} of the drawn one where it is${fit.site.overflowTrench === null ? "" : ", the trench its upper end"}. What others ask is no permission: local code and a licensed practitioner decide.`
        : `It does not fit: ${fit.faults.join("; ")}.`,
  ];
}
