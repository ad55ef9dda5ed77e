import { greatestOf, leastOf } from "../../numerics/extremes.ts";
import { answerSentence } from "../../figures/answer.ts";
import { criterionWords, reachedText } from "../../figures/sizeAnswer.ts";
import { plainText } from "../../text/plainText.ts";
import { clashes } from "../../plan/clashes.ts";
import { isTested } from "../../site/testHoles.ts";
import { chamberLayout } from "../../plan/chamberLayout.ts";
import { digLevels } from "../../plan/digLevels.ts";
import { hasBends, inletDrop } from "../../plan/pipeTurns.ts";
import { setOut } from "../../plan/setOut.ts";
import { overLowGround } from "../../site/trenchGround.ts";
import { stormAdvice } from "../../study/stormAdvice.ts";
import { heightText, listed } from "../../text/words.ts";
import { levelWords, shoreFrom, stationOf } from "./crewPaper.ts";
import { chamberDrawing, planDrawing } from "./planDrawing.ts";
import { sectionDrawing } from "./sectionDrawing.ts";
import { blockStormTable, gravelTrenchLength, prismEmptying } from "../../plan/publishedChecks.ts";
import { changedSite } from "../../site/changedSite.ts";
import { siteSchema } from "../../site/siteSchema.ts";
import type { Site } from "../../site/site.ts";
import { takeOff } from "../../plan/takeOff.ts";
import { soilDivisor } from "../../site/soilDivisor.ts";
import { hyetograph, type Hyetograph } from "../../rain/hyetograph.ts";
import { conductivityAt, soilProfile } from "../../ground/soilProfile.ts";
import { exitsReached, type ExitReached } from "../../simulate/exits.ts";
import { networkOf } from "../../simulate/assemble.ts";
import { rainToFill } from "../../simulate/rainToFill.ts";
import type { Run } from "../../simulate/run.ts";
import { servedCatchments } from "../../simulate/servedRunoff.ts";
import { settledRun } from "../../simulate/settledRun.ts";
import { stageTables } from "../../simulate/stageTable.ts";
import { StoppedRun } from "../../simulate/stoppedRun.ts";
import { variedSite } from "../../simulate/variedSite.ts";
import { besideSealed } from "../../study/sidesOnly.ts";
import type { Sizing } from "../../study/size.ts";
import { depthText, displayUnits, lengthText, waterText } from "../../text/format.ts";
import { limits } from "../cautions.ts";
import { clashList } from "../clashList.ts";
import { html, trusted, type Markup } from "../markup.ts";
import { sitingPart } from "../sitingPart.ts";
import { yearsPart } from "../yearsPart.ts";
import { years } from "../../upkeep/years.ts";
import { drainCell } from "../drainWords.ts";
import { stormNotes, type StormRun, type StoppedStorm } from "../summary.ts";
import { chartDrawing, roundTicks } from "./chartDrawing.ts";
import { inputEcho } from "./reviewTables.ts";
import type { PackageFigure } from "./packageFigures.ts";
import { blank, rows, tick, type Sheet } from "./paperFrame.ts";
import { bare, type Reader } from "./reader.ts";
import { balanceRows, tableTimes } from "./reviewTables.ts";

/** What a reviewer gets, all of it made from the file and what it names. */
export interface ReviewInputs {
  readonly site: Site;
  /** the file as JSON.parse makes it, and as it was written */
  readonly file: unknown;
  readonly text: string;
  readonly storms: readonly StormRun[];
  readonly stopped: readonly StoppedStorm[];
  /** what the file asks for, tried on this design alone; null where it asks for nothing */
  readonly criteria: Sizing | null;
  readonly figures: readonly PackageFigure[];
  /** what the file's studies found of this design; empty where it asks for none */
  readonly studies: readonly ReviewStudy[];
  readonly identity: ReviewIdentity;
}

/** A study as a package shows it. */
export interface ReviewStudy {
  readonly name: string;
  readonly section: Markup;
  readonly figures: readonly PackageFigure[];
}

export interface ReviewIdentity {
  readonly version: string;
  readonly commit: string;
  readonly build: string;
  readonly date: string;
  readonly revision: string;
  readonly prepared: string;
  readonly checked: string;
  /** SHA-256 of the site file, and of each file that it names, in hexadecimal */
  readonly hash: string;
  /** with its own words on what it is and whence; "" where it has none */
  readonly files: readonly { readonly name: string; readonly hash: string; readonly about: string }[];
}

const MARGINS = "What is asked, and margins";

/** The reviewer's sheets, in English, in the units of the site. */
export function reviewPaper(inputs: ReviewInputs, reader: Reader): Sheet[] {
  const { site, storms, studies } = inputs;
  const around = sitingPart(site, { pictures: false });
  const [first] = storms;
  return [
    { title: "Package for review", body: identitySheet(inputs) },
    { title: "Plan and section", body: drawingSheet(site, reader) },
    { title: "Inputs, each with its source", body: echoSheet(inputs) },
    { title: "Equations", body: equationSheet(site) },
    ...storms.map((storm) => ({ title: `Storm: ${plainText(storm.name, 60)}`, body: stormSheet(storm, reader) })),
    { title: "Stage, storage, seepage, discharge", body: stageSheet(site, reader) },
    { title: MARGINS, body: marginSheet(inputs, reader) },
    { title: "Sensitivity, and sealed floors", body: sensitivitySheet(storms, reader) },
    ...(around === null ? [] : [{ title: "Around the works", body: withoutHead(around.section) }]),
    ...(first === undefined ? [] : [{ title: "The years", body: withoutHead(yearsPart(years(site, { storms: [{ name: first.name, load: first.run.rain ?? first.run.inflows }] }), { pictures: false }).section) }]),
    ...(studies.length === 0 ? [] : [{ title: "Studies of this design", body: studySheet(studies, site) }]),
    { title: "Published methods beside it", body: publishedSheet(site, storms, reader) },
    { title: "Figures to be computed again", body: figureSheet(inputs) },
  ];
}

/** A part of a report as the body of a sheet, which has a title of its own. */
function withoutHead({ markup }: Markup): Markup {
  return trusted(markup.replace(/^<section[^>]*>|<\/section>\s*$/g, "").replace(/<h2([^>]*)><span class="storm-name">[^<]*<\/span>\s*/, "<h2$1>"));
}

function identitySheet({ site, identity, storms, stopped, text, criteria, studies }: ReviewInputs): Markup {
  const { version, commit, build, date, revision, prepared, checked, hash, files } = identity;
  const line = (what: string, value: Markup | string): readonly [string, Markup | string] => [what, value];
  return html`${rows(["", ""], [
    line("Site", site.name), line("Revision", revision === "" ? blank(12) : revision), line("Date", date),
    line("Prepared by", prepared === "" ? blank(24) : prepared), line("Checked by", checked === "" ? blank(24) : checked),
    line("Design", designLine(site)), line("Library", `soakstep ${version}, commit ${commit}, build ${build}`), line("Site file, SHA-256", hash),
    ...files.map((each) => line(`File “${each.name}”, SHA-256`, each.hash)),
  ], { label: "Identity" })}
<p>This page holds the site file and every file that it names. With the library of the same commit, <code>soakstep check</code> and the name of this page takes them out, runs them again and says whether every figure and every word here still holds${studies.length === 0 ? "" : html`, those of the studies only with <code>--studies</code>, which takes longer than all else`}; with another version it says which figures moved and by how much. Seeds of studies are in the file, or 1 where it names none.</p>
<p><a download="site.json" href="data:application/json;base64,${base64(text)}">The site file, to be saved: site.json</a>${files.length === 0 ? "" : " (the files that it names travel inside the page too)"}</p>
<h2>Answers</h2>
<ul>${storms.map(({ name, run }) => html`<li><b>${plainText(name, 60)}.</b> ${answerSentence(run)}${patchWords(run)}</li>`)}${stopped.map(({ name, why }) => html`<li><b>${plainText(name, 60)}.</b> Could not be run to its end: ${why}</li>`)}</ul>
${askedWords(criteria, site)}
${sealedWords(storms)}
<p>${clashCount(site)} ${untestedWords(site)}</p>
<h2>The reviewer</h2>
<p>${tick} accepted &nbsp; ${tick} accepted with the changes noted &nbsp; ${tick} refused, because ${blank(50)}</p>
<p>Name, licence, date: ${blank(50)}</p>
<p class="soft">No verdict of compliance with any code is given here. Local codes and licensed practice decide.</p>`;
}

/** Water of a run that stands over the low end of the trench's ground and flows out nowhere; "" where none does. */
function patchWords({ site, peaks, spilled }: Run): string {
  const level = greatestOf(Object.entries(peaks).filter(([name]) => name.startsWith("overflowTrench")).map(([, peak]) => peak.level));
  const over = spilled > NOTHING ? 0 : overLowGround(level, site.overflowTrench);
  return over > 0 ? ` The trench stands at ${waterText(level, site.units)} at most, ${patchOf(over, site)}.` : "";
}

function patchOf(over: number, { units }: Site): string {
  return `${heightText(over, units)} over the low end of its ground: the run, which takes the cover as high as the ground at mid length, lets nothing out there, but expect a wet patch`;
}

/** How far the trench stands over the low end of its ground in a criterion that asks for nothing to come out; 0 for all others. */
function patchIn(criteria: Sizing, c: number): number {
  const design = criteria.designs[0]!;
  return criteria.criteria[c]!.asks === "noSpill" && design.met[c] === true ? overLowGround(design.trenchPeaks[c]!, design.site.overflowTrench) : 0;
}

/** The works in a line, so that this paper is told from one of another size. */
function designLine({ chamberBank: pit, overflowTrench: trench, units }: Site): string {
  const size = (length: number): string => lengthText(length, units);
  const chambers = pit.chambers.reduce((sum, { count }) => sum + count, 0);
  return `as in the site file: pit ${size(pit.length)} × ${size(pit.width)}, ${chambers === 0 ? "no chambers" : chambers === 1 ? "1 chamber" : `${chambers} chambers`}, ${trench === null ? "no trench" : `trench ${size(trench.length)}`}`;
}

function clashCount(site: Site): string {
  const count = clashes(site, shoreFrom({ list: takeOff(site) })).filter(({ kind }) => kind !== "shoringAcrossPipe").length;
  return count === 0 ? "Nothing was found that does not fit as drawn." : `${count === 1 ? "One thing does" : `${count} things do`} not fit as drawn: see “${MARGINS}”.`;
}

/** Soil that nobody measured decides more than all else here. */
function untestedWords({ soil: { layers } }: Site): string {
  const untested = layers.filter((layer) => !isTested(layer)).length;
  return untested === 0 ? "Every layer of the soil has a test in the file." : `Layers of soil without a test in the file: ${untested} of ${layers.length}.`;
}

/** What of the file's own criteria is met, and what is not. */
function askedWords(criteria: Sizing | null, site: Site): Markup {
  if (criteria === null) return html`<p>The file asks for nothing by number.</p>`;
  const design = criteria.designs[0]!;
  const missed = criteria.criteria.filter((_, c) => design.met[c] !== true);
  const patches = criteria.criteria.flatMap((criterion, c) => (patchIn(criteria, c) > 0 ? [`${criterionWords(criterion, criteria)}: the trench stands ${patchOf(patchIn(criteria, c), site)}`] : []));
  const wet = patches.length === 0 ? null : html` <b>Met with a wet patch:</b> ${patches.join("; ")}.`;
  if (missed.length === 0) return html`<p><b>All that the file asks is met</b> (${criteria.criteria.length} of ${criteria.criteria.length}).${wet}</p>`;
  const words = missed.map((criterion) => `${criterionWords(criterion, criteria)} (reached: ${reachedText(criterion, design.reached[criteria.criteria.indexOf(criterion)]!, site.units)})`);
  return html`<p><b>Missed, ${missed.length} of ${criteria.criteria.length} that the file asks:</b> ${words.join("; ")}.${wet}</p>`;
}

function echoSheet({ site, file, identity }: ReviewInputs): Markup {
  const about = new Set(["about", "surroundings.about", "materials.about", "upkeep.about"]);
  const lines = inputEcho(file, siteSchema()).filter(({ path }) => !about.has(path));
  const notes = new Set([...site.assumptions, ...site.notes].map((note) => plainText(note)));
  const { assumed } = takeOff(site);
  // what the file says of where its figures come from, each once, under a letter
  const said = [...new Set(lines.flatMap(({ source, from }) => (source === "file" && from !== null && from !== undefined ? [from] : [])))];
  return html`${site.about === "" ? null : html`<p><bdi>${plainText(site.about)}</bdi></p>`}
${rows(["input", "as written", "source"], lines.map(({ path, written, source, from }) => [path, plainText(written, 400), source === "assumed" ? html`<b>assumed</b> (default)` : from === null || from === undefined ? "file, source not given" : `file (${letterOf(said.indexOf(from))})`]), { label: "Inputs", kind: "words echo" })}
${said.length === 0 ? null : html`<p>What the file says of the part that an input stands in: ${said.map((text, i) => html`${i === 0 ? "" : "; "}(${letterOf(i)}) <bdi>“${plainText(text, 400)}”</bdi>`)}</p>`}
${site.prices === null ? null : html`<p class="soft">Prices enter no figure of this package: they stand in the site file at its end.</p>`}
${identity.files.length === 0 ? null : html`<h2>Files that it names</h2>
${rows(["file", "what it says of itself"], identity.files.map(({ name, about }) => [plainText(name, 80), about === "" ? "nothing" : plainText(about, 400)]), { label: "Files" })}`}
<h2>Assumptions and notes</h2>
<ul>${[...notes, ...dropNotes(site)].map((note) => html`<li>${note}</li>`)}${limits.map((note) => html`<li>${note}</li>`)}</ul>
${assumed.length === 0 ? null : html`<h2>Figures of digging and buying that the file does not give</h2>
${rows(["figure", "taken", "source"], assumed.map(({ about: what, written, source }) => [what, String(written), html`<b>assumed</b>: ${source}`]), { label: "Figures of materials" })}`}`;
}

/** The step from the pipe to the trench down to the pipe in it, which fittings take up. */
function dropNotes({ overflowTrench: trench, units }: Site): string[] {
  const drop = trench === null ? null : inletDrop(trench);
  if (trench === null || drop === null || !hasBends(drop)) return [];
  return [`The pipe to the trench ends ${heightText(Math.abs(drop), units)} ${drop > 0 ? "over" : "under"} the pipe in the trench: two bends join them. `
    + `Of their loss the runs know what overflowTrench.inlet.bendLoss says, ${trench.inlet.bendLoss}.`];
}

/** a to z, then aa, ab … */
function letterOf(i: number): string {
  const last = String.fromCharCode(97 + (i % 26));
  return i < 26 ? last : letterOf(Math.floor(i / 26) - 1) + last;
}

/** The works from above and cut open, as the crew's sheets draw them, with every level in numbers. */
function drawingSheet(site: Site, reader: Reader): Markup {
  const out = setOut(site, site.papers?.fixedPoints ?? null);
  const list = digLevels(site);
  const rowsDrawn = chamberLayout(site.chamberBank)?.rows ?? 1;
  const pit = html`<figure style="max-width:90mm">${chamberDrawing(site, reader)}</figure>`;
  return html`${out === null ? html`${pit}<p>The file has no plan of the works: the pit alone is drawn.</p>`
    : html`<div class="two"><figure>${planDrawing(site, out, reader, { isWhole: true })}<figcaption>All that has a place on the plan.</figcaption></figure>
<figure>${planDrawing(site, out, reader)}<figcaption>The works with the crew's pegs.</figcaption></figure></div>${pit}`}
<figure>${sectionDrawing(site, "Section", { marks: list.map((each, i) => ({ n: i + 1, station: stationOf(each), level: each.level })), height: 250 })}<figcaption>Along the water's way, heights to scale, lengths not.${rowsDrawn > 1 ? ` ${reader.say("levels.rows", { n: rowsDrawn })}` : ""}</figcaption></figure>
${rows(["", "level of", reader.say("levels.head.level")], list.map((each, i) => [String(i + 1), levelWords(site, each, reader), reader.level(each.level)]), { label: "Levels drawn" })}`;
}

function studySheet(studies: readonly ReviewStudy[], site: Site): Markup {
  return html`<p>Of the design in this file, as it stands. What they were asked stands with the inputs, seeds included; the sizes to try are no part of a review.
<code>soakstep check</code> reads these figures and makes them again with <code>--studies</code>, which takes longer than all else here. ${judgedIn(site)}</p>
${studies.map(({ section }) => withoutSection(section))}`;
}

function withoutSection({ markup }: Markup): Markup {
  return trusted(markup.replace(/^<section[^>]*>|<\/section>\s*$/g, ""));
}

function equationSheet(site: Site): Markup {
  const { overflowTrench: trench, emitter, lowSpot, groundwater, catchments, chamberBank, studies } = site;
  const kinds = new Set(catchments.map(({ loss }) => loss.kind));
  const list: (readonly [string, string, string] | null)[] = [
    ["Balance of each body", "V' = inflow - outflows; level H(V) from its geometry", "conservation of volume"],
    ["Stepping", "RODAS4P2, order 4, L-stable, error control; steps land on every corner of the inflow and of geometry", "Steinebach, in Progress in Differential-Algebraic Equations II, 2020 *; Hairer & Wanner, Solving Ordinary Differential Equations II, 2nd ed. 1996, chapter IV *"],
    ["Pit", "free area = n A + sum over chambers of pi/4 (Di^2 - n Do^2), all chambers and stone at one level", "geometry; one level is an assumption"],
    ["Pipe running full", "Q = A(d) sqrt(2 g x / k), where less than the entrance lets in;  k = k_entrance + k_exit + k_bends + 2 g m^2 L / (D/4)^(4/3)", "Manning; losses as in the inputs, handbook values (common practice)"],
    ["Pipe entrance", "Q = sqrt(g) D^2.5 c(r),  r = d/D,  c = 0.5 r^2 (1 - 0.277 r) up to r = 1.5; from there an orifice that joins it, c = 0.658 sqrt(r - 0.5), the same as Cd = 0.59 on the full area", "critical flow in a circle with a loss of half a velocity head at the entrance, whatever entranceLoss is, fitted to 3 %, derived; where less than the pipe passes running full; beside it FHWA HDS-5, 3rd ed. 2012, inlet control *: up to a fifth more"],
    ["Spill over a rim or ground", "Q = 1.7 U h^1.5", "broad-crested weir, SI, 2/3 sqrt(2 g / 3) rounded"],
    chamberBank.cover === null && (trench?.cover ?? null) === null ? null : ["Up through a cover", "Q = Kc A (H - ground) / t", "Darcy"],
    trench === null ? null : ["Trench", "prism of stone on a sloping floor, V(H) the integral of its section along the length", "geometry"],
    emitter === null ? null : ["Emitter, open", "Q = min(1.7 pi D h^1.5, 0.6 pi/4 D^2 sqrt(2 g h)); opens and shuts at two heads", "weir round a rim, then an orifice with Cd = 0.6 (common practice)"],
    (emitter?.weepHole ?? null) === null ? null : ["Weep hole", "Q = min(0.6 pi/4 D^2 sqrt(2 g x), i K A_soak)", "orifice with Cd = 0.6 (common practice); Darcy"],
    ["Seepage", "Q = i (K A_floor + U integral of K dz), i = clamp((H - G)/l, -1, 1); the floor counts in full from 1 mm of water on it", "Darcy at a gradient of 1 at most; loss of gradient near a water table: Bouwer, Hydrogeology Journal 10, 2002 *"],
    groundwater.mounding === null ? null : ["Mound", "convolution of the recharge rate with Hantush's response, linearised", "Hantush, Water Resources Research 3, 1967 *"],
    lowSpot === null ? null : ["Low spot", "A(h) = A1 (h/h1)^(2/s)", "Hayashi & van der Kamp, Journal of Hydrology 237, 2000 *"],
    kinds.has("runoffCoefficient") ? ["Runoff, coefficient", "Q = C A (P(t) - P(t - tc)) / tc, P less what the area keeps at first (initialLoss of the inputs)", "rational method as a time-area hydrograph: HDS-2, FHWA-NHI-02-001, 2nd ed. 2002, section 6.4.1; closed form derived"] : null,
    kinds.has("curveNumber") ? ["Runoff, curve number", "Pe = (P - Ia)^2 / (P - Ia + S); dimensionless unit hydrograph", "NRCS NEH 630, chapter 10 (July 2004) and chapter 16 (March 2007), table 16-1"] : null,
    kinds.has("greenAmpt") ? ["Infiltration", "Green-Ampt with ponding", "Chow, Maidment & Mays, Applied Hydrology, 1988, sections 4.3, 4.4 and 5.4 *"] : null,
    ...rainEquations(site),
    ["The years: grains in a box", "w = R g D^2 / (18 nu + sqrt(0.75 R g D^3)), D the grain, R = density / 1000 - 1, nu the water's viscosity; kept of it 1 - (1 + w A / (N Q))^-N, N basins in series", "Ferguson & Church, Journal of Sedimentary Research 74(6), 2004, eq. 4; Hazen, 1904 *"],
    ["The years: floor", "share of it still open = (l / K) / (l / K + thickness of the cake / conductivity of the cake)", "layers in series, Darcy"],
    (site.upkeep?.freezingIndex ?? null) === null ? null : ["Frost", "depth = sqrt(2 × conductivity of heat × surface factor × freezing index / (334 kJ/kg × moisture × dry density))", "Stefan, 1890 *"],
    ["Cold water", "K goes with 1 / viscosity of water", "Kestin, Sokolov & Wakeham, Journal of Physical and Chemical Reference Data 7, 1978 *"],
    !Object.hasOwn(studies?.rainfall ?? {}, "rows") ? null : ["Rain of the table", "straight lines in the logarithms of depth and duration, and between its return periods in those of depth and return period", "log-log interpolation (common practice)"],
  ];
  return html`${rows(["what", "equation", "source"], list.filter((each) => each !== null), { label: "Equations" })}
<p class="soft">* From memory: the work named was not at hand when the equation was written, so that no page is given; look it up before you rely on it. All others were read, derived, or are common practice as marked.</p>
<h2>Words and letters</h2>
${rows(["", ""], definitions(site), { label: "Definitions" })}
<p>Quantities are SI inside; g = 9.80665 m/s². Each equation with its source stands beside the code of the commit named on the first page.</p>`;
}

/** Where the rain of the file's storms and of what it asks for comes from, for the patterns and depths that it uses. */
function rainEquations({ storms, studies }: Site): (readonly [string, string, string])[] {
  const asked = (studies?.size?.["criteria"] ?? []) as readonly { readonly storm?: unknown }[];
  const all: readonly unknown[] = [...storms.map(({ options }) => options), ...asked.map(({ storm }) => storm), studies?.sweep];
  const patterns = all.map((each) => (typeof each === "object" && each !== null ? (each as { readonly pattern?: unknown }).pattern : undefined));
  const has = (...names: readonly string[]): boolean => names.some((name) => patterns.includes(name));
  return [
    ...(!Object.hasOwn(studies?.rainfall ?? {}, "m5_60") ? [] : [["Rain of England and Wales", "depth of 5 years = Z1(r, duration) × m5_60, depth of other years = Z2(years, depth of 5 years) × depth of 5 years; both by tables, read straight between (logarithms of durations and years)", "Wallingford Procedure; BRE Digest 365, tables 1 and 2 *; the five-year column of the second is 1.02 to 1.03, where 1 is to be expected, and is used as it stands, on the safe side"] as const]),
    ...(!has("nrcs-i", "nrcs-ia", "nrcs-ii", "nrcs-iii") ? [] : [["Rain of the pattern “nrcs-…”", "fallen by a moment = depth × the share of the published day by then; a shorter storm is the richest stretch of that length", "types I, II, III by tenths of an hour, IA by half hours; of two published generations of II that which has 0.137 of the day in its richest 6 minutes (the other 0.076); within 0.0011 of HDS-2, FHWA-NHI-02-001, 2nd ed. 2002, table 6.5, read"] as const]),
    ...(!has("uk-summer", "uk-winter") ? [] : [["Rain of the patterns “uk-summer”, “uk-winter”", "share within a middle stretch of a share z of the time = (1 - a^y) / (1 - a), y = z^b; a and b 0.1 and 0.815 in summer, 0.06 and 1.026 in winter", "Flood Studies Report, 1975, 50 percent summer and 75 percent winter profiles *"] as const]),
    ...(!has("alternating-block") ? [] : [["Rain of the pattern “alternating-block”", "the depth of every duration lies about one middle, each within the next longer", "HDS-2, FHWA-NHI-02-001, 2nd ed. 2002, example 6.6"] as const]),
    ...(!has("nested") ? [] : [["Rain of the pattern “nested”", "the same in straight lines of the rate", "as the distributions of NEH 630, chapter 4, are built *"] as const]),
  ];
}

/** What words and letters of this package mean, once for all of it: a letter has one meaning. */
function definitions(
  { catchments, groundwater, chamberBank: pit, overflowTrench: trench, lowSpot, surveyError, units }: Site,
): (readonly [string, string])[] {
  const { level, pathLength } = groundwater;
  const path = pathLength !== null ? `${lengthText(pathLength, units)}, groundwater.pathLength of the file`
    : `the width of each body, as the file gives no groundwater.pathLength: pit ${lengthText(pit.width, units)}${trench === null ? "" : `, trench ${lengthText(trench.width, units)}`}; a choice, not a law`;
  return [
    ["Q, V, A, D, L, U", "flow; volume held; area; diameter (Di, Do of a chamber, inside and outside); length; perimeter or length of an edge over or through which water goes"],
    ["d, h, x", "depth of water over a pipe's inside bottom; head over an edge; fall of level from one end of a pipe or hole to the other, of a pipe that runs out free d itself"],
    ["n, m, k", "share of voids in stone (porosity); Manning's roughness, manningN of the inputs; sum of a pipe's losses, in velocity heads"],
    ["K, Kc, t", "conductivity of the soil, over the factor of safety; of a cover, and its thickness"],
    ["P, C, tc", "rain fallen since the start; runoff coefficient; time of concentration"],
    ...(catchments.some(({ loss: { kind } }) => kind === "curveNumber") ? [["Pe, S, Ia", "what runs off of the rain; retention and initial loss of a curve number"] as const] : []),
    ["i, Cd", "gradient of the seepage; discharge coefficient of an orifice"],
    ["pit", "chamberBank of the inputs: the chambers, their stone and what that lies in"],
    ["break-even rain", "the steady rain at which as much soaks away from full works as comes in"],
    ["the survey's error", `${depthText(surveyError, units)} of each level read (surveyError of the inputs); of the difference of two levels √2 times that, ${depthText(Math.SQRT2 * surveyError, units)}`],
    ...(lowSpot === null ? [] : [["A1, h1, s", "area and depth of the low spot at its lip; exponent of its shape"] as const]),
    ["H, G", `level of a body's water; level of the groundwater${level === null ? ", none given, so that i = 1" : ""}`],
    ["l", `the length over which the head H - G is lost on its way to the groundwater, at most a gradient of 1: ${path}`],
    ["last full", "the last moment at which the pit holds within 1 % of the most it held in the run"],
    ["half empty", "from last full until the pit holds half of that most"],
    ["empty", `from last full until the water over the pit's rest is less than ${depthText(0.01, units)} deep; the rest is its floor, groundwater that stands in it, or the level it began at where that is higher`],
  ];
}

function stormSheet(storm: StormRun, reader: Reader): Markup {
  const { run } = storm;
  const { units } = reader;
  const shown = displayUnits(units);
  const balance = balanceRows(run, tableTimes(run));
  const hours = (time: number): string => (time / 3600).toFixed(2);
  const volume = (m3: number): string => (m3 / shown.volume.size).toFixed(units === "us" ? 0 : 3);
  const rain = run.rain;
  const balanceCells = balance.map((row) => [
    hours(row.time), ...(rain === null ? [] : [(row.rain! / shown.depth.size).toFixed(2)]), (row.inflow / shown.flow.size).toFixed(2),
    volume(row.cameIn), volume(row.soil), ...(run.site.emitter === null ? [] : [volume(row.emitter)]), volume(row.surface),
      volume(row.stored), volume(Math.abs(row.open) < 5e-5 ? 0 : row.open),
  ]);
  return html`<p>${answerSentence(run)}</p>
${rain === null ? null : html`<h2>Hyetograph</h2>${hyetographTable(rain, shown.depth)}`}
<h2>Levels, from the beginning of the rain</h2>
${groupsOf(run.bodies.map(({ name }, b) => ({ name, b })), BODIES_ABREAST).map((bodies) => rows([
    "h", ...bodies.map(({ name }) => html`<bdi>${plainText(name, 24)}</bdi>, ${shown.level.label}`),
  ], withoutStill(balance.map((row) => [hours(row.time), ...bodies.map(({ b }) => bare(reader.level(row.levels[b]!)))])), { label: "Levels", kind: "figures" }))}
<h2>Inflow and balance, from the beginning of the rain</h2>
${rows([
    "h", ...(rain === null ? [] : [`rain, ${shown.depth.label}`]), `in, ${shown.flow.label}`, `came in, ${shown.volume.label}`, ...["soil", ...(run.site.emitter === null ? [] : ["emitter"]), "surface", "stored", "left open"].map((what) => `${what}, ${shown.volume.label}`),
  ], withoutStill(balanceCells), { label: "Balance", kind: "figures" })}
<p class="soft">Volumes count from the start. “Left open” is what this table's own sum of flows leaves; the run's ledger closes to ${Math.abs(run.ledger.error).toExponential(0)} m³.</p>
<figure>${levelChart(run, reader)}</figure>
<h2>Ways to the surface</h2>
${rows(["way out", "its level", "highest water", "margin", "came out"], exitsReached(run).map((exit) => exitLine(exit, run, reader)), { label: "Ways out" })}
<h2>Notes of the run</h2>
<ul>${stormNotes(storm).map((note) => html`<li>${plainText(note)}</li>`)}</ul>`;
}

/** Rows without those in which nothing but the time differs from the rows before and behind. */
function withoutStill(lines: readonly (readonly string[])[]): readonly (readonly string[])[] {
  const told = lines.map((line) => line.slice(1).join("|"));
  return lines.filter((_, i) => !(i > 0 && i < lines.length - 1 && told[i] === told[i - 1] && told[i] === told[i + 1]));
}

/** As many bodies fit beside one another on a sheet. */
const BODIES_ABREAST = 6;

function groupsOf<T>(all: readonly T[], most: number): T[][] {
  return Array.from({ length: Math.ceil(all.length / most) }, (_, i) => all.slice(i * most, (i + 1) * most));
}

/** What has fallen by each moment at which the rain changes, in columns read one below the other: all that a run needs of it. */
function hyetographTable({ time, depth }: Hyetograph, { label, size }: { readonly label: string; readonly size: number }): Markup {
  const rateOf = (i: number): number => depth[i]! / (time[i + 1]! - time[i]!);
  const changes = Array.from(depth, (_, i) => i).filter((i) => i === 0 || Math.abs(rateOf(i) - rateOf(i - 1)) > 1e-9 * rateOf(i));
  const total = depth.reduce((sum, each) => sum + each, 0);
  if (changes.length === 1) return html`<p>${(total / size).toFixed(3)} ${label}, evenly from hour ${hourText(time[0]!)} to ${hourText(time.at(-1)!)}.</p>`;
  let fallen = 0;
  const fallenBy = [0, ...Array.from(depth, (each) => (fallen += each))];
  const cells = [...changes, depth.length].map((i): readonly [string, string] => [hourText(time[i]!), (fallenBy[i]! / size).toFixed(4)]);
  const abreast = Math.min(6, cells.length);
  const high = Math.ceil(cells.length / abreast);
  const heads = Array.from({ length: abreast }, () => ["h", label]).flat();
  const lines = Array.from({ length: high }, (_, row) => Array.from({ length: abreast }, (_each, column) => cells[column * high + row] ?? ["", ""]).flat());
  return html`<p>Fallen by each moment at which the rain changes, straight between them.</p>${rows(heads, lines, { label: "Hyetograph", kind: "figures" })}`;
}

function hourText(time: number): string {
  return String(Number((time / 3600).toFixed(4)));
}

const EXIT_NAMES: Readonly<Record<ExitReached["kind"], string>> = {
  emitter: "emitter's lid", trenchGround: "ground over the trench", pitGround: "ground over the pit", grate: "grate", boxRim: "rim of the box", lowSpotLip: "lip of the low spot", watchLevel: "level to watch",
};

function exitLine(exit: ExitReached, run: Run, { level, depth, water }: Reader): string[] {
  const margin = exit.short >= 0 ? `${depth(exit.short)} below${exit.atInlet ? " the pipe to the trench" : ""}` : `${depth(-exit.short)} over`;
  const told = exit.time === null ? untold(exit.short, run.site) : "";
  return [`${EXIT_NAMES[exit.kind]}${exit.name === null ? "" : ` “${plainText(exit.name, 40)}”`}`, level(exit.level), `${level(exit.top)}${exit.isPits ? ", the pit's" : ""}`, exit.time === null ? `${margin}${told}` : `reached at hour ${(exit.time / 3600).toFixed(2)}`, cameOut(exit, run, water)];
}

function cameOut({ kind, volume, time }: ExitReached, { site: { overflowTrench: trench } }: Run, water: Reader["water"]): string {
  if (volume === null) return "–";
  const isWet = kind === "trenchGround" && time !== null && volume <= NOTHING && (trench?.cover?.conductivity ?? 0) > 0;
  return isWet ? `${water(volume)}, a wet patch` : water(volume);
}

function levelChart(run: Run, reader: Reader): Markup {
  const { units, number } = reader;
  const unit = displayUnits(units).level;
  const shown = run.bodies.filter(({ kind }) => kind === "bank" || kind === "trench" || kind === "box").slice(0, 4);
  const hours = run.until / 3600;
  const times = Array.from({ length: 241 }, (_, i) => (i / 240) * run.until);
  const lines = shown.map(({ name }) => ({ name, points: times.map((time) => [time / 3600, run.level(name, time) / unit.size] as const) }));
  const all = lines.flatMap(({ points }) => points.map(([, level]) => level));
  const ticks = roundTicks(leastOf(all), greatestOf(all), 5);
  const dashes = ["none", "8 4", "2 3", "10 3 2 3"];
  return chartDrawing({
    words: "Levels against time", height: 240,
    x: { ticks: roundTicks(0, hours, 8), text: (value) => String(value), title: "hours from the beginning of the rain" },
    y: { bottom: ticks[0]!, top: ticks.at(-1)!, ticks, text: (value) => number(String(value)), title: `level, ${unit.label}` },
    lines: lines.map(({ name, points }, i) => ({ label: plainText(name, 20), points, dash: dashes[i]! })),
  });
}

function stageSheet(site: Site, { units, level, number }: Reader): Markup {
  const shown = displayUnits(units);
  const flow = (m3s: number): string => (m3s / shown.flow.size).toPrecision(3);
  return html`<p>By the laws that the stepper itself uses; seepage with the groundwater as at the start, discharge with the next body dry and the lid open.</p>
${stageTables(site, 10).map(({ body, ways, rows: lines }) => html`<h2><bdi>${plainText(body, 60)}</bdi></h2>
${rows([`level, ${shown.level.label}`, `storage, ${shown.volume.label}`, `seepage, ${shown.flow.label}`, ...ways.map((way) => html`<bdi>${plainText(way, 30)}</bdi>, ${shown.flow.label}`)], lines.map((row) => [
    bare(level(row.level)), number((row.volume / shown.volume.size).toPrecision(4)), row.seepage === null ? "–" : flow(row.seepage), ...row.discharge.map(flow),
  ]), { label: body, kind: "figures" })}`)}`;
}

function marginSheet({ site, criteria, storms }: ReviewInputs, reader: Reader): Markup {
  const asked = criteria === null ? html`<p>The file asks for nothing by number (studies.size.criteria). Margins to every way out stand with each storm.</p>`
    : rows(["asked", "reached", "margin", ""], criteria.criteria.map((criterion, c) => {
      const design = criteria.designs[0]!;
      const margin = design.margins[c]!;
      const patch = patchIn(criteria, c);
      return [
        criterionWords(criterion, criteria), `${reachedText(criterion, design.reached[c]!, site.units)}${patch > 0 ? `; the trench at ${reader.level(design.trenchPeaks[c]!)}, ${patchOf(patch, site)}` : ""}`,
        `${marginText(criterion.asks, margin, reader)}${criterion.asks === "boxHeadroom" ? untold(margin, site) : ""}`, html`<b>${design.met[c] !== true ? "MISSED" : patch > 0 ? "met, with a wet patch" : "met"}</b>`,
      ];
    }), { label: "Criteria" });
  const fill = rainToFill(site);
  const found = clashList(site);
  return html`${asked}
${criteria === null ? null : html`<p>${judgedIn(site)} What falls in them: ${criteria.storms.map((name, s) => `${plainText(name, 40)}, ${criteria.rains[s]!.map(({ duration, depth }) => `${reader.depth(depth)} in ${reader.lasting(duration)}`).join(", ")}`).join("; ")}${criteria.rains.some((of) => of.length > 1) ? "; each duration also after a day of the 2-year rain where the table has one" : ""}.</p>`}
<p>Room before water comes out at ${reader.level(fill.level)}: ${reader.water(fill.freeVolume)}${fill.rain === null ? "" : `, ${reader.depth(fill.rain)} of rain with nothing soaking away`}.</p>
<h2>Drain-down</h2>
${rows(["storm", "half empty after", "empty after"], storms.map(({ name, run }) => [plainText(name, 60), drainCell(run, "half"), drainCell(run, "empty")]), { label: "Drain-down" })}
${found ?? html`<h3>What does not fit as drawn</h3><p>Nothing found: pipes against chamber tops and stone, lid against ground, chambers against the pit, pipes against a shoring line.</p>`}`;
}

/** In which patterns of storm the criteria and the sweep of a file were judged, beside the one that is advised. */
function judgedIn(site: Site): string {
  const { studies, storms } = site;
  const asked = (studies?.size?.["criteria"] ?? []) as readonly { readonly storm: unknown }[];
  const patternOf = (storm: unknown): string => {
    if (typeof storm === "string") return patternOf(storms.find(({ name }) => name === storm)?.options ?? {});
    const { pattern, file } = (storm ?? {}) as { readonly pattern?: unknown; readonly file?: unknown };
    return typeof pattern === "string" ? `“${pattern}”` : file !== undefined ? "as recorded" : "“block”";
  };
  const sweep = studies?.sweep ?? null;
  const used = [...new Set([...asked.map(({ storm }) => patternOf(storm)), ...(sweep === null ? [] : [patternOf(sweep)])])];
  const { pattern } = stormAdvice(site);
  const advice = used.every((each) => each === `“${pattern}”`) ? "That is the pattern to try here, too."
    : used.includes(`“${pattern}”`) ? `The pattern to try here, “${pattern}”, is one of them.`
      : `The pattern to try here is “${pattern}”: its rain has a peak that even rain has not. No verdict here was made with it; what is met in these may be missed in it.`;
  return `Criteria${sweep === null ? "" : " and sweep"} are judged in the storms that the file asks for, of the pattern ${listed(used)} (a block where it names none). ${advice}`;
}

/** Said of a margin that is smaller than what two levels, each read with the survey's error, can tell apart; "" of a larger one. */
function untold(margin: number, { surveyError, units }: Site): string {
  const band = Math.SQRT2 * surveyError;
  return Math.abs(margin) < band ? `, less than the survey can tell (${depthText(band, units)})` : "";
}

function marginText(asks: string, margin: number, reader: Reader): string {
  if (Number.isNaN(margin)) return "not within the run";
  const sign = margin < 0 ? "short by " : "";
  const size = Math.abs(margin);
  if (asks === "halfEmptyWithin" || asks === "emptyWithin") return `${sign}${reader.lasting(size)}`;
  return `${sign}${asks === "boxHeadroom" ? reader.depth(size) : reader.water(size)}`;
}

function sensitivitySheet(storms: readonly StormRun[], reader: Reader): Markup {
  const worst = worstOf(storms);
  if (worst === null) return html`<p>No storm ran to its end.</p>`;
  const { run } = worst;
  const { site } = run;
  const rain = run.rain;
  const porosity = (by: number): Site => changedSite(site, {
    chamberBank: { ...site.chamberBank, stone: { ...site.chamberBank.stone, porosity: site.chamberBank.stone.porosity + by } },
    overflowTrench: site.overflowTrench && { ...site.overflowTrench,
      stone: { ...site.overflowTrench.stone, porosity: site.overflowTrench.stone.porosity + by } },
  });
  const cases: { readonly name: string; readonly make: () => Run }[] = [
    { name: "as in the file", make: () => run },
    { name: "soil a third as fast", make: () => settledRun(variedSite(site, { conductivityFactor: 1 / 3 }), run.inflows, { until: run.until }) },
    { name: "soil three times as fast", make: () => settledRun(variedSite(site, { conductivityFactor: 3 }), run.inflows, { until: run.until }) },
    ...(rain === null ? [] : [1.25, 0.8].map((factor) => ({
      name: `rain times ${factor}`, make: () => settledRun(site, hyetograph({ time: rain.time, depth: rain.depth.map((depth) => depth * factor) }), { until: run.until }),
    }))),
    ...(site.groundwater.level === null ? [] : [{ name: `groundwater ${reader.length(0.6096)} higher`, make: () => settledRun(variedSite(site, { groundwaterShift: 0.6096 }), run.inflows, { until: run.until }) }]),
    ...(site.chamberBank.stone.porosity > 0.09 ? [{ name: "porosity of the stone less 0.04", make: () => settledRun(porosity(-0.04), run.inflows, { until: run.until }) }] : []),
    { name: "floors sealed by silt", make: () => besideSealed(run).sealed },
    { name: "as in the file, a hundred times closer tolerance", make: () => settledRun(site, run.inflows, { until: run.until, tolerance: 1e-8 }) },
  ];
  const emits = site.emitter !== null;
  const pit = (each: Run): string => reader.level(each.peaks["chamberBank"]!.level);
  const line = ({ name, make }: (typeof cases)[number]): string[] => {
    try {
      const made = make();
      return [name, pit(made), ...(emits ? [reader.water(made.emitted), reader.lasting(made.openTime)] : []), reader.water(made.spilled), drainCell(made, "half"), drainCell(made, "empty")];
    } catch (error) {
      if (!(error instanceof StoppedRun)) throw error;
      return [name, `stopped: ${error.message}`, ...(emits ? ["", ""] : []), "", "", ""];
    }
  };
  return html`<p>One thing changed at a time, in the storm that asks most of these works, “${plainText(worst.name, 60)}”${storms.length > 1 ? `: ${mostWords(run)}` : ""}. The soil is rarely known to better than a factor of three.</p>
${rows(["changed", "pit at most", ...(emits ? ["emitter lets out", "open for", "surface elsewhere"] : ["to the surface"]), "half empty", "empty"], cases.map(line), { label: "Sensitivity" })}`;
}

/** The storm that asks most of the works; null where none ran to its end. */
function worstOf(storms: readonly StormRun[]): StormRun | null {
  return storms.reduce<StormRun | null>((most, storm) => (most === null || asksMore(storm.run, most.run) ? storm : most), null);
}

/** What silt over the floors makes of the storm that asks most: clean floors are optimistic, so it stands beside the answers. */
function sealedWords(storms: readonly StormRun[]): Markup | null {
  const worst = worstOf(storms);
  if (worst === null) return null;
  const told = (): string => {
    try {
      return besideSealed(worst.run).note;
    } catch (error) {
      if (!(error instanceof StoppedRun)) throw error;
      return `with them sealed the run could not be made to its end: ${error.message}`;
    }
  };
  return html`<p><b>Floors sealed by silt</b>, “${plainText(worst.name, 60)}”, which asks most: ${told()}</p>`;
}

/** Whether one storm asks more than another: by what comes out elsewhere, then by the emitter, then by how high the pit stands. */
function asksMore(one: Run, other: Run): boolean {
  const by = ({ spilled, emitted, peaks }: Run): readonly number[] => [spilled, emitted, peaks["chamberBank"]!.level];
  const [a, b] = [by(one), by(other)];
  const i = a.findIndex((each, k) => Math.abs(each - b[k]!) > NOTHING);
  return i >= 0 && a[i]! > b[i]!;
}

/** Volumes and levels that differ by less are one [m3], [m]. */
const NOTHING = 1e-4;

/** By what a storm was found to ask most. */
function mostWords({ spilled, emitted }: Run): string {
  if (spilled > NOTHING) return "most comes out over a rim or the ground in it";
  return emitted > NOTHING ? "nothing comes out elsewhere in any, and the emitter lets out most in it" : "nothing comes out in any, and the pit stands highest in it";
}

function publishedSheet(site: Site, storms: readonly StormRun[], reader: Reader): Markup {
  const { chamberBank: pit, overflowTrench: trench, soil } = site;
  const served = servedCatchments(site);
  const rational = served.every(({ loss }) => loss.kind === "runoffCoefficient");
  const area = served.reduce((sum, { area: each, loss }) => sum + (loss.kind === "runoffCoefficient" ? loss.runoffCoefficient : 1) * each, 0);
  const profile = soilProfile(soil.layers, soilDivisor(soil));
  const rate = conductivityAt(profile, pit.floor);
  const perimeter = 2 * (pit.length + pit.width);
  const crest = trench === null ? pit.stoneTop : Math.min(trench.inlet.crest, pit.stoneTop);
  const depth = crest - pit.floor;
  const halfWall = (perimeter * depth) / 2;
  const held = networkOf(site).bodies.find(({ kind }) => kind === "bank")!.volume(crest);
  const fillTime = 2 * 3600;
  return html`<h2>Block-storm table: storage S = I − O</h2>
<p>Runoff area ${reader.area(area)}${rational ? "" : " (areas without a coefficient in full)"}; half of the wall below the overflow ${reader.area(halfWall)}; rate at the floor's layer over the factor of safety ${reader.intensity(rate)}; floor left out. I: the most that falls in the duration anywhere in the storm, on all of that area, no loss at its beginning taken off, so that it may be more than came in in the run; O what soaks away meanwhile. Here I, O and S are volumes of this method alone, f its infiltration rate. Source: BRE Digest 365, Soakaway design (edition of 2016), from memory, no page seen. The pit holds ${reader.water(held)} up to where it runs over${trench === null ? " at the stone top" : " into the trench"}, the trench's room not counted.</p>
${storms.filter(({ run }) => run.rain !== null).map(({ name, run }) => {
    const table = blockStormTable(run.rain!, area, halfWall, rate);
    const need = table.reduce((most, row) => (row.storage > most.storage ? row : most));
    return html`<h3>${plainText(name, 60)}</h3>
${rows(["duration", "depth", "I", "O", "S"], table.map((row) => [reader.lasting(row.duration), reader.depth(row.depth), reader.water(row.inflow), reader.water(row.outflow), reader.water(row.storage)]), { label: `Block storms of ${name}`, kind: "figures" })}
<p>Largest S ${reader.water(need.storage)} in ${reader.lasting(need.duration)}; the pit alone holds ${reader.water(held)}: ${need.storage > held ? "by this method it runs over" : "by this method it does not run over"}. In the run the pit stands at ${reader.level(run.peaks["chamberBank"]!.level)} at most, ${run.peaks["chamberBank"]!.level > crest ? "over" : "below"} that edge at ${reader.level(crest)}.</p>`;
  })}
<h2>Gravel-trench formula</h2>
<p>L = V / [w (n y + f T)], y its depth, w its width, f the rate at the floor's layer, filling time T = 2 h; after Maryland's Standards and Specifications for Infiltration Practices, 1984, from memory, no page seen. To hold what the pit holds, ${reader.water(held)}, a plain trench of stone as wide (${reader.length(pit.width)}) and deep (${reader.length(depth)}) as the pit would be ${reader.length(gravelTrenchLength({ volume: held, width: pit.width, depth, porosity: pit.stone.porosity, rate, fillTime }))} long; the pit, chambers in it, is ${reader.length(pit.length)}.</p>
<h2>Closed form: emptying of a prism through floor and sides</h2>
<p>${closedForm(site, held, depth, rate, perimeter, reader)}</p>`;
}

/** A closed form beside the runs, which carry the same assumptions only where there is one layer and no near groundwater. */
function closedForm(site: Site, held: number, depth: number, rate: number, perimeter: number, reader: Reader): string {
  const { chamberBank: pit, soil } = site;
  const area = pit.length * pit.width;
  const openFloor = soil.floor && soil.sides && pit.openFloorShare === 1;
  if (!(rate > 0) || !(held > 0)) return "Nothing soaks away at the floor as the file has it: no emptying to compute.";
  const time = prismEmptying({ area, perimeter, porosity: held / (area * depth), conductivity: rate, from: depth, to: depth / 2 });
  const layered = soil.layers.length > 1 ? " The file has several layers: the formula takes that at the floor for all." : "";
  const floors = openFloor ? "" : " The file closes a part of the floor or the sides: the formula takes all of both.";
  return `time = (n A / (K U)) ln[(A + U y1)/(A + U y2)], derived: the integral of n A dy/dtime = -K (A + U y); gradient 1, U the pit's perimeter, y1 and y2 the depth at first and at last, n here the mean free share up to the overflow, ${reader.figure(held / (area * depth))}: from ${reader.length(depth)} to half of that ${reader.lasting(time)}.${layered}${floors} The runs' own half-empty times stand in the table of drain-down; they count from the last high water and know groundwater and trench.`;
}

function figureSheet({ figures, studies, text }: ReviewInputs): Markup {
  const table = (of: readonly PackageFigure[], label: string): Markup =>
    rows(["figure", "unit", "value"], of.map(({ name, unit, value }) => [plainText(name, 120), unit, value ?? "not reached"]), { label });
  return html`<p>SI, seven figures. <code>soakstep check</code> computes each again from the file inside.</p>
${table(figures, "Figures")}
${studies.length === 0 ? null : html`<h2>Figures of studies, computed again with --studies</h2>
${table(studies.flatMap((study) => study.figures), "Figures of studies")}`}
<h2>The site file</h2>
<pre style="white-space:pre-wrap;font-size:7.5pt;line-height:1.2;overflow-wrap:anywhere">${text}</pre>`;
}

/** UTF-8 as base64, in any engine. */
function base64(text: string): string {
  return btoa(Array.from(new TextEncoder().encode(text), (byte) => String.fromCharCode(byte)).join(""));
}
