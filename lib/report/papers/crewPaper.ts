import { displayUnits } from "../../text/format.ts";
import { onStaff, staffText } from "../../text/staffText.ts";
import { plainText } from "../../text/plainText.ts";
import { deepEnd, deepest, type Hole } from "../../plan/hole.ts";
import type { HoleDistance } from "../../plan/holeDistances.ts";
import { isBelow } from "../../site/judge.ts";
import { regionTaken } from "../../site/region.ts";
import type { Site } from "../../site/site.ts";
import { capital } from "../../text/words.ts";
import { floorsTake, sidesTake } from "../../site/takesIn.ts";
import { fallFrom, fillSheet, PASS_AFTER } from "../../dips/fillSheet.ts";
import { clashes, type Clash } from "../../plan/clashes.ts";
import { digLevels, type DigLevel, type DigTask } from "../../plan/digLevels.ts";
import { edgeStrip, nearestLine, nearFootings, nearLine, nearLines, ROOTS, treeStretch, unclassedSlope, wallRule } from "../../plan/hazards.ts";
import { laidBack } from "../../plan/laidBack.ts";
import { setOut, type PegKind, type SetOut } from "../../plan/setOut.ts";
import { html, type Markup } from "../markup.ts";
import { chamberLayout } from "../../plan/chamberLayout.ts";
import { pipeRuns } from "../../plan/pipeRuns.ts";
import { hasBends, headBends, inletDrop, pipeTurns } from "../../plan/pipeTurns.ts";
import { standpipeReach } from "../../plan/standpipe.ts";
import { takeOff } from "../../plan/takeOff.ts";
import { worksShapes } from "../../plan/worksShapes.ts";
import { sidesOf } from "../../plane/planShape.ts";
import { buying, cutWords, loadWords, type Buying } from "./buying.ts";
import { chartDrawing, roundTicks } from "./chartDrawing.ts";
import { blank, rows, tick, type Sheet } from "./paperFrame.ts";
import { chamberDrawing, planDrawing } from "./planDrawing.ts";
import { bare, counted, levelUnit, type Reader } from "./reader.ts";
import { sectionDrawing, type Station } from "./sectionDrawing.ts";
import { boxPipeWords, boxWords, clashWords, designWords, featureWords, footingWords, holeDepth, holeWords, nearTrees, nearWords, reachWords, ruleSource, soilWords } from "./words.ts";

/** Depth from which a wall is taken to need shoring where no rule of the region is held [m]; common practice. */
const SHORE_FROM = 1.2;

/** The crew's four sheets: stop and set out, levels, buy and build, the fill test. */
export function crewPaper(site: Site, reader: Reader): Sheet[] {
  const bought = buying(site, reader);
  return [
    { title: reader.say("crew1.title"), body: stopOnOneSheet(site, reader, bought) },
    { title: reader.say("crew2.title"), body: onOneSheet(levelSheet(site, reader), [0, 36.5, 41.5]) },
    { title: reader.say("crew3.title"), body: onOneSheet(buildSheet(site, reader, bought), [0, 68, { "en-US": 84, "en-GB": 84, "de": 80.2, "es": 83.6 }[reader.language]]) },
    { title: reader.say("crew4.title"), body: fillTestSheet(site, reader) },
  ];
}

/**
 * A sheet in the largest letters of four in which its lines have room beside its pictures, so that it stays one sheet on A4 and on
 * Letter; `tests/browser` prints them. Long words of German and Spanish leave more of a line empty.
 *
 * @param most   lines that each but the smallest letters have room for, as `lineCount` counts them
 * @param lines  lines to go by
 */
function onOneSheet(
  body: Markup, most: readonly [plain: number, snug: number, tight: number], lines: number = lineCount(body),
): Markup {
  const letters = ["plain", "snug", "tight"].find((_, i) => lines <= most[i]!) ?? "dense";
  return html`<div class="${letters}">${body}</div>`;
}

/**
 * Sheet 1, its letters by the lines of all of it. Beyond 58 of them it goes with a smaller plan, its sentences beside that, without the
 * tapes to the offset pegs, which the pit's sides give too.
 */
function stopOnOneSheet(site: Site, reader: Reader, bought: Buying): Markup {
  const body = stopSheet(site, reader, bought, { high: 300 });
  const lines = lineCount(body);
  return onOneSheet(lines > 58 ? stopSheet(site, reader, bought, { high: 110, isFull: true }) : body, [32, 42, 65], lines);
}

/** How many lines tables, paragraphs and steps in two columns take, by how many letters a cell or a line holds, roughly. */
function lineCount({ markup }: Markup): number {
  const letters = (text: string): number => text.replace(/<[^>]*>/g, "").replace(/&#\d+;/g, "x").length;
  const table = [...markup.matchAll(/<tr>([\s\S]*?)<\/tr>/g)].reduce((sum, [, row]) => {
    const cells = row!.split(/<\/t[hd]>/).map(letters);
    return sum + Math.max(1, Math.ceil(cells[0]! / 24), cells.length === 4 ? Math.ceil(cells[2]! / 88) : 1);
  }, 0);
  const paragraphs = [...markup.matchAll(/<p[ >][\s\S]*?<\/p>/g)].reduce((sum, [text]) => sum + Math.ceil(letters(text) / 125), 0);
  const steps = [...markup.matchAll(/<li[ >][\s\S]*?<\/li>/g)].reduce((sum, [text]) => sum + Math.ceil(letters(text) / 52) / 2, 0);
  return table + paragraphs + steps;
}

/** Depth from which the region's own rule asks for walls to be shored or laid back, else that of common practice [m]. */
export function shoreFrom({ list }: Pick<Buying, "list">): number {
  return wallRule(list.dig.rules)?.depth ?? SHORE_FROM;
}

function stopSheet(
  site: Site, reader: Reader, bought: Buying, { high, isFull = false }: { readonly high: number; readonly isFull?: boolean },
): Markup {
  const { say, length, tape } = reader;
  const near = nearLines(site);
  const { surroundings } = site;
  const next = nearestLine(site);
  const lines = surroundings === null ? html`<p>${say("lines.noPlan")}</p>` : next === null ? html`<p>${say("lines.none")}</p>`
    : near.length === 0 ? html`<p>${say("lines.far", { line: featureWords(next.feature, reader), distance: reader.distance(next.distance), hole: holeWords(site, next.from, next.kind, reader) })}</p>`
    : rows([say("lines.head.line"), say("lines.head.hole"), say("lines.head.how")], near.map((row) => [
      html`<b><bdi>${featureWords(row.feature, reader)}</bdi></b>`, html`<bdi>${holeWords(site, row.from, row.kind, reader)}</bdi>`, html`<b>${nearWords(row, reader)}</b>`,
    ]), { label: say("lines.title", { near: length(nearLine(site)) }) });
  const standing = surroundings?.features.some(({ kind }) => kind === "building" || kind === "wall") ?? false;
  const footings = nearFootings(site);
  const rule = wallRule(bought.list.dig.rules);
  const from = shoreFrom(bought);
  const deep = bought.list.dig.holes.filter((hole) => !isBelow(deepest(hole), from));
  const found = clashes(site, from);
  const [steel, others] = [found.filter(({ kind }) => kind === "shoringAcrossPipe"), found.filter(({ kind }) => kind !== "shoringAcrossPipe")];
  const reached = reachWords(site, reader, ({ feature: { kind } }) => kind === "service");
  const trees = nearTrees(site);
  const out = setOut(site, site.papers?.fixedPoints ?? null);
  const bench = benchmarkOf(site);
  const told = out === null ? null : html`<p>${out.fixed.map(({ letter, name, corner }) => say("plan.fixed", { letter, what: name ?? say(corner!.isNearest ? "plan.cornerNearest" : "plan.corner", { direction: say(`dir.${corner!.towards}`), feature: featureWords(corner!.feature, reader) }) })).join(" · ")}. ${say("plan.base", { base: tape(out.base) })} ${say("plan.diagonal", { diagonal: tape(out.diagonal) })}${out.poorlyFixed.map(({ mark, to, apart }) => ` ${say("plan.poor", { peg: mark, to, apart: tape(apart) })}`).join("")} ${mouthWords(site, out, reader)}</p>
<p>${[...turnWords(site, reader), ...boxHoleWords(site, out, reader), ...pegWays(site, reader), ...offsetWords(out, reader, isFull)].join(" ")}</p>`;
  return html`<div class="box"><h2>${say("lines.title", { near: length(nearLine(site)) })}</h2>
${lines}
${reached.map((words) => html`<p><b>${words}</b></p>`)}
<p class="warn">${say("lines.do", { zone: length(edgeStrip(site)) })}${regionTaken(site).code === "US" ? ` ${say("lines.call")}` : ""}</p></div>
<div class="two"><div>
<h2>${say("shore.title")}</h2>
${deep.length === 0 ? html`<p>${say("shore.none")}</p>` : html`<p><b>${deep.map((hole) => capital(say("shore.row", { hole: holeWords(site, hole.name, hole.kind, reader), deep: holeDepth(hole, reader), long: tape(hole.length), wide: tape(hole.width) }))).join("; ")}.</b></p>`}
<p>${rule === null ? say("shore.noRule", { depth: length(SHORE_FROM), edge: length(edgeStrip(site)) }) : say("shore.rule", { depth: ruleDepth(rule, reader), source: ruleSource(rule.rule, reader), status: say(`status.${rule.rule.status}`), edge: length(edgeStrip(site)) })}</p>
${deep.length === 0 ? null : html`<p>${classWords(site, reader)} ${blank(12)}</p><p>${say("shore.where")}</p>`}
${steel.length === 0 ? null : html`<p>${say("shore.windows", { pipes: steel.map(({ pipe, by }) => say("shore.window", { pipe: pipe === "toTrench" ? say("hole.pipeTrench") : boxPipeWords(site, pipe!.from, say), level: reader.levelStaff(by) })).join(", ") })}</p>`}
</div><div>
<h2>${say("stop.title")}</h2>
<ul>${(["stop.water", "stop.fill", "stop.smell", "stop.line", "stop.wall"] as const).map((key) => html`<li>${say(key)}</li>`)}</ul>
<p>${say("sign.who")}: ${blank(24)}<br>${say("sign.designer")}: ${blank(24)}<br>${say("sign.emergency")}: ${blank(12)} ${say("sign.date")}: ${blank(12)}</p>
<h2>${say("footing.title")}</h2>
${!standing ? html`<p>${say("footing.unknown")}</p>` : footings.length === 0 ? html`<p>${say("footing.none")}</p>` : footings.map((near) => html`<p class="${near.under ? "warn" : "look"}">${footingWords(site, near, reader)} ${blank(14)}</p>`)}
${trees.map((row) => html`<p>${treeWords(site, row, reader)}</p>`)}
</div></div>
${others.length === 0 ? null : html`<h2>${say("clash.title")}</h2><ul>${others.map((clash) => html`<li>${clashWords(site, clash, reader)}</li>`)}</ul>
<p class="warn">${say("clash.settle")} ${blank(26)}</p>`}
<h2>${say("plan.title")}</h2>
${out === null ? html`<p>${say("plan.none")}</p><figure style="max-width:90mm">${chamberDrawing(site, reader)}</figure>` : html`<div class="plan"><div><figure>${planDrawing(site, out, reader, { high })}</figure>${isFull ? told : offsetTable(out, reader)}</div><div>${pegTable(site, out, reader)}
<figure>${chamberDrawing(site, reader)}</figure></div></div>${isFull ? null : told}`}
${bench === null ? benchmarkLine(site, reader) : html`<p>${benchmarkWords(bench, reader)} ${bench.at === null ? html`${say("bench.spot")} ${blank(24)}` : say("bench.onPlan")}</p>`}
<p>${say("design.line", { works: designWords(site, reader) })}</p>`;
}

/** The slope for ground that nobody has classed yet, with who says so. */
function classWords(site: Site, reader: Reader): string {
  const { say } = reader;
  const { slope, says, source, status } = unclassedSlope(site);
  return say("shore.class", { slope: say(slope === 1 ? "slope.one" : "slope.oneHalf"), source: says === null ? say("status.common practice") : `${ruleSource({ says, source }, reader)}; ${say(`status.${status}`)}` });
}

/** Roots: how near the tree stands, and along a run between which places. */
function treeWords(site: Site, row: HoleDistance, reader: Reader): string {
  const { say, tape } = reader;
  const near = say("tree.near", { feature: featureWords(row.feature, reader), distance: reader.distance(row.distance), hole: holeWords(site, row.from, row.kind, reader) });
  const along = treeStretch(site, row);
  return along === null ? near : `${near} ${say("tree.along", { from: tape(along.start), to: tape(along.end), within: reader.distance(ROOTS) })}`;
}

/** Where the pipe turns, by which parts; and where it runs straight through. */
function turnWords(site: Site, reader: Reader): string[] {
  const { say, number } = reader;
  const pair = headBends(site);
  const degrees = (angle: number): string => `${number(String(angle))}°`;
  return pipeTurns(site).map(({ peg, degrees: turn, side, hasPair, level, rest, couplings }) => {
    const bends = level.map(degrees).join(" + ");
    const parts = [
      ...(level.length === 0 ? [] : [say("turn.level", { bends })]),
      ...(hasPair ? [say("turn.pair", { bend: degrees(pair!.degrees), roll: Math.round(pair!.roll) })] : []),
      ...(couplings > 0 ? [say("turn.coupling", { n: couplings, rest: Math.round(rest) })] : rest >= 1 ? [say("turn.joints", { rest: Math.round(rest) })] : []),
    ];
    return say("turn.at", { peg, degrees: Math.round(turn), side: say(`turn.${side}`), parts: parts.join("; ") });
  });
}

/** How the hole for each box lies, and past which end the trench is dug on. */
function boxHoleWords(site: Site, { boxHoles, pegs }: SetOut, reader: Reader): string[] {
  const { say, tape } = reader;
  return [
    ...boxHoles.map(({ mark, name, towards, length, width }) => say(towards === null ? "box.asPit" : "box.facing", {
      box: holeWords(site, name, "box", reader), mark, towards: towards ?? "", size: `${tape(length)} × ${tape(width)}`,
      diagonal: tape(Math.hypot(length, width)),
    })),
    ...(pegs.some(({ kind }) => kind === "emitterEnd") ? [say("plan.pastEnd", { by: reader.size(PAST_END[reader.units]) })] : []),
  ];
}

/** The trench is dug so far past the middle of the riser [m]; common practice. */
const PAST_END = Object.freeze({ us: 0.3048, si: 0.3 });

/** Offset pegs, two on a string: of each side of the pit, then those beside the trench. */
function offsetTable({ offsets }: SetOut, { say, tape }: Reader): Markup {
  const past = (i: number): string[] => [`P${i}a`, `P${(i % 4) + 1}b`];
  const beside = offsets.filter(({ side }) => side !== null).map(({ mark }) => mark);
  const pairs = [
    ...[1, 2, 3, 4].map(past), ...Array.from({ length: Math.ceil(beside.length / 2) }, (_, i) => beside.slice(2 * i, 2 * i + 2)),
  ];
  const cells = (mark: string | undefined): (string | Markup)[] => {
    const peg = offsets.find((each) => each.mark === mark);
    if (peg === undefined) return [mark === undefined ? "" : html`<b>${mark}</b> –`, "", ""];
    const out = tape(peg.out);
    const where = peg.side === null ? say("offset.past", { out, of: peg.of }) : say("offset.beside", { out, of: peg.of, side: say(`turn.${peg.side}`) });
    return [html`<b>${peg.mark}</b> ${where}`, peg.fromA === null ? "–" : tape(peg.fromA), peg.fromB === null ? "–" : tape(peg.fromB)];
  };
  const heads = [say("offset.peg"), say("peg.fromA"), say("peg.fromB")];
  return rows([...heads, ...heads], pairs.map(([one, other]) => [...cells(one), ...cells(other)]), { label: say("offset.title"), kind: "offsets" });
}

/** How far out offset pegs stand where no table tells it [m]. */
const OFFSET = Object.freeze({ us: 3 * 0.3048, si: 1 });

/** How the offset pegs stand, and which have no room. */
function offsetWords({ noOffset }: SetOut, { say, length, units }: Reader, isShort: boolean): string[] {
  return [...(isShort ? [say("offset.short", { out: length(OFFSET[units]) })] : []), say("offset.use"), ...(noOffset.length === 0 ? [] : [say("offset.none", { pegs: noOffset.join(", ") })])];
}

/** What is not as long by the pegs as the file gives it, to the digit that is shown: pipes, and the trench. */
function pegWays(site: Site, reader: Reader): string[] {
  const { say, tape } = reader;
  const { fromBoxes, toTrench } = pipeRuns(site);
  const pipes = [...fromBoxes, ...(toTrench === null ? [] : [toTrench])].flatMap(({ name, pipe, straight }) => (
    straight === null || pipe.length === 0 || tape(straight) === tape(pipe.length) ? []
      : [capital(say("plan.pipeWay", { pipe: holeWords(site, name, "pipe", reader), straight: tape(straight), given: tape(pipe.length) }))]));
  const trench = worksShapes(site)?.trench ?? null;
  const given = site.overflowTrench?.length ?? 0;
  const pegged = trench === null ? given : sidesOf(trench.line).reduce((sum, [[x, y], [u, v]]) => sum + Math.hypot(u - x, v - y), 0);
  return tape(pegged) === tape(given) ? pipes : [...pipes, capital(say("plan.trenchWay", { trench: say("hole.trench"), pegs: tape(pegged), given: tape(given) }))];
}

/** A rule's depth as its source writes it, in the reader's units where those are others. */
function ruleDepth({ rule, depth }: NonNullable<ReturnType<typeof wallRule>>, { number, length, units }: Reader): string {
  const own = /(?:ft|in)$/.test(rule.depth) ? "us" : "si";
  return own === units ? number(rule.depth) : `${length(depth)} (${number(rule.depth)})`;
}

function pegTable(site: Site, { pegs }: SetOut, reader: Reader): Markup {
  const { say, tape } = reader;
  const oneSided = pegs.every(({ side }) => side === pegs[0]!.side);
  return rows([say("peg.head"), say("peg.what"), say("peg.fromA"), say("peg.fromB"), ...(oneSided ? [] : [say("peg.side")])], pegs.map(({ mark, kind, name, fromA, fromB, side }) => [
    html`<b>${mark}</b>`, html`<bdi>${pegWords(site, kind, name, reader)}</bdi>`, tape(fromA), tape(fromB), ...(oneSided ? [] : [say(`plan.${side}`)]),
  ]), { label: say("plan.title") });
}

function pegWords(site: Site, kind: PegKind, name: string | null, reader: Reader): string {
  if (kind === "mouth") return reader.say("peg.mouth", { pipe: holeWords(site, name!, "pipe", reader) });
  return kind === "box" && name !== null ? reader.say("peg.boxNamed", { name: plainText(name, 20) }) : reader.say(`peg.${kind}`);
}

/** Where each pipe crosses the pit's edge, and to which chamber it runs. */
function mouthWords(site: Site, { mouths }: SetOut, reader: Reader): string {
  const { say, tape } = reader;
  const words = mouths.map(({ mark, pipe, from, towards, along, chamber }) => {
    const mouth = say("plan.mouth", { mark, pipe: holeWords(site, pipe, "pipe", reader), along: tape(along), from, towards });
    return chamber === null ? mouth : say("plan.mouthChamber", { mouth, chamber: `C${chamber + 1}` });
  });
  return words.length === 0 ? "" : `${words.join(" · ")}.`;
}

/** A level that stands before the work: the file's benchmark, else the first level to watch; with its place, where the file gives one. */
function benchmarkOf(site: Site): NonNullable<NonNullable<Site["papers"]>["benchmark"]> | null {
  const [watched] = site.watchLevels;
  return site.papers?.benchmark ?? (watched === undefined ? null : { ...watched, at: null });
}

function benchmarkWords({ name, level }: NonNullable<ReturnType<typeof benchmarkOf>>, { say, levelStaff }: Reader): string {
  return say("bench.line", { name: plainText(name, 50), level: levelStaff(level) });
}

function benchmarkLine(site: Site, reader: Reader): Markup {
  const bench = benchmarkOf(site);
  return bench === null ? html`<p>${reader.say("bench.none")} ${blank(24)}</p>` : html`<p>${benchmarkWords(bench, reader)}</p>`;
}

function levelSheet(site: Site, reader: Reader): Markup {
  const { say, staff, between } = reader;
  const bench = benchmarkOf(site);
  const list = digLevels(site);
  const steps = stepsOf(site, reader);
  const unsettled = clashes(site, Infinity);
  const more = (each: DigLevel): string => {
    const isBelowIt = each.level <= bench!.level;
    return isBelowIt ? `+ ${between(bench!.level, each.level)}` : `− ${between(each.level, bench!.level)}`;
  };
  const stepOf = ({ task }: DigLevel): number => steps.findIndex((step) => step.task === task) + 1;
  const heads = [say("levels.head.step"), "", say("levels.head.what"), reader.units === "us" ? say("levels.head.level") : `${say("levels.head.level")}, ${levelUnit(reader)}`, ...(bench === null ? [] : [say("levels.head.more")]), say("levels.head.staff"), say("levels.head.below"), say("levels.head.fall"), say("levels.head.tolerance"), say("levels.head.built")];
  const rowsDrawn = chamberLayout(site.chamberBank)?.rows ?? 1;
  return html`${benchmarkLine(site, reader)}
<p>${say("levels.instrument")} ${blank(9)} ${say("levels.plus")} ${blank(11)}. ${say(bench === null ? "levels.howNoBench" : "levels.how")}</p>
${rows(heads, list.map((each, i) => [
    i > 0 && stepOf(list[i - 1]!) === stepOf(each) ? "" : String(stepOf(each)), html`<b>${i + 1}</b>`, html`<bdi>${levelWords(site, each, reader)}</bdi>${isUnsettled(each, site, unsettled) ? html` <b>${say("levels.settle")}</b>` : null}`,
    // on a staff of feet and inches a level in decimals of a foot would have to be worked out first
    reader.units === "us" ? staff(each.level) : bare(staff(each.level)), ...(bench === null ? [] : [more(each)]), blank(8),
    each.ground === null ? "–" : each.ground < each.level - 5e-4 ? say("level.above", { m: between(each.level, each.ground) }) : between(Math.max(each.ground, each.level), each.level),
    fallWords(each, reader), TOLERANCE[each.care][reader.units], blank(8),
  ]), { label: say("crew2.title"), kind: "levels" })}
<p class="soft">${say("levels.tolerance")}</p>
<p>${say("levels.downspout")} ${say("levels.downspoutMany")} ${blank(6)} ${say("levels.downspoutSize")} ${blank(8)} ${say("levels.downspoutSide")} ${blank(12)} ${say("levels.downspoutLevel", { levels: site.settlingBoxes.map(({ outlet }) => reader.levelStaff(outlet.invert)).join(", ") })} ${blank(9)}</p>
<p><b>${say("soil.title")}:</b> ${soilWords(site, reader)}. <b>${say("soil.else")}</b></p>
<figure>${sectionDrawing(site, say("levels.section"), { marks: list.map((each, i) => ({ n: i + 1, station: stationOf(each), level: each.level })), height: Math.max(140, Math.min(240, 235 - 16 * (list.length - 19))) })}<figcaption>${say("levels.section")}.${rowsDrawn > 1 ? ` ${say("levels.rows", { n: rowsDrawn })}` : ""}</figcaption></figure>`;
}

/** Whether a level is one of those that do not fit as drawn. */
function isUnsettled({ what, box }: DigLevel, { settlingBoxes }: Site, found: readonly Clash[]): boolean {
  return found.some(({ kind, pipe }) => {
    if (kind === "lidUnderGround") return what === "emitter";
    if (kind === "crownOverTrenchStone") return what === "inletEnd";
    if (pipe === "toTrench") return what === "inletStart";
    return pipe !== null && what === "pipeEnd" && (pipe.from === null || pipe.from === settlingBoxes[box!]!.name);
  });
}

/** What falls from here on: a pipe or the trench by its slope, a step to the next pipe by its height. */
function fallWords({ level, falls, dropsTo }: DigLevel, { say, slope, tape, between, units }: Reader): Markup | string {
  if (dropsTo !== null) return dropsTo < level ? say("levels.drop", { m: between(level, dropsTo) }) : say("levels.rise", { m: between(dropsTo, level) });
  if (falls === null) return "";
  const fall = onStaff(level, units) - onStaff(falls.to, units);
  if (fall < 1e-6) return slope(fall > -1e-6 ? 0 : fall);
  return html`${say("unit.fall", { fall: between(level, falls.to), length: tape(falls.length) })},<br>${slope(fall / falls.length)}`;
}

/** What a level may be off; common practice. */
const TOLERANCE: Readonly<Record<DigLevel["care"], { readonly us: string; readonly si: string }>> = Object.freeze({
  floor: { us: "1 in", si: "25 mm" }, stone: { us: "1 in", si: "25 mm" }, rim: { us: "1/2 in", si: "10 mm" }, pipe: { us: "1/4 in", si: "5 mm" }, lid: { us: "1/8 in", si: "3 mm" },
});

/** A level in words, as the crew's sheet and the package name it. */
export function levelWords(site: Site, { what, box }: DigLevel, reader: Reader): string {
  const { say } = reader;
  if (what === "weepHole") return say("level.weepHole", { size: reader.size(site.emitter!.weepHole!.diameter) });
  if (what === "pipeEnd" || what === "pipeBedBox" || what === "pipeBedPit") return say(`level.${what}`, { pipe: boxPipeWords(site, site.settlingBoxes[box!]!.name, say) });
  if (what === "boxHole" || what === "boxFloor" || what === "boxOutlet" || what === "boxRim") return say(`level.${what}`, { box: boxWords(site, box!, reader) });
  return say(`level.${what}`);
}

/** Where on the section a level stands. */
export function stationOf({ what, box }: DigLevel): Station {
  if (what === "pipeBedBox") return { boxOut: box! };
  if (what === "boxHole" || what === "boxFloor" || what === "boxOutlet" || what === "boxRim") return { box: box! };
  if (what === "trenchFloorLow" || what === "trenchPipeLow" || what === "trenchStoneLow") return "trenchLow";
  if (what === "trenchFloorHigh" || what === "trenchPipeHigh" || what === "trenchStoneHigh" || what === "inletEnd" || what === "inletBedEnd") return "trenchHigh";
  if (what === "inletStart" || what === "inletBedStart") return "pitOut";
  if (what === "emitter" || what === "weepHole") return "emitter";
  return what === "lip" || what === "grate" ? "lowSpot" : "pit";
}

function buildSheet(site: Site, reader: Reader, bought: Buying): Markup {
  const { say, bulk, tape, figure, mass } = reader;
  const { list, rows: items, fabric } = bought;
  const { dig, cover, figures } = list;
  const from = shoreFrom(bought);
  const isDeep = (hole: Hole): boolean => !isBelow(deepest(hole), from);
  const deep = dig.holes.filter(isDeep);
  const total = (slope: number, only: (hole: Hole) => boolean = () => true): number =>
    dig.holes.reduce((sum, hole) => sum + (only(hole) ? laidBack(hole, slope).volume : hole.volume), 0);
  const slopes = [1, 1.5] as const;
  // by the depth that is printed; at 1 to 1 it is that
  const reachOf = (hole: Hole, slope: number): string => {
    const { ground, floor } = deepEnd(hole);
    return reader.between(Math.max(0, slope * (onStaff(ground, reader.units) - onStaff(floor, reader.units))), 0);
  };
  return html`<h2>${say("buy.title")}</h2>
${rows([say("buy.head.item"), say("buy.head.amount"), say("buy.head.note")], [
    ...items.filter(({ fitting }) => fitting === null), ...fittingRows(items, say),
  ].map(({ item, amount, unit, note }) => [html`<bdi>${plainText(item, 90)}</bdi>`, html`<span class="n"><b>${amount}</b> ${unit}</span>`, note]), { label: say("buy.title"), kind: "buy" })}
<p>${say("buy.fabricCuts", { cuts: cutWords(fabric, reader), lap: tape(figures.fabricLap) })} ${say("buy.not")}</p>
<h2>${say("dig.title", { bulking: figure(figures.bulking) })}</h2>
${rows([say("dig.head.hole"), say("dig.head.size"), say("dig.head.upright"), say("dig.head.one"), say("dig.head.oneHalf")], [
    ...dig.holes.map((hole) => [
      html`<bdi>${holeWords(site, hole.name, hole.kind, reader)}</bdi>`, `${tape(hole.length)} × ${tape(hole.width)}, ${holeDepth(hole, reader)}`, bulk(hole.volume),
      ...slopes.map((slope) => `${bulk(laidBack(hole, slope).volume)}, ${reachOf(hole, slope)}`),
    ]),
    [html`<b>${say("dig.total")}</b>`, "", bulk(dig.volume), ...slopes.map((slope) => bulk(total(slope)))],
    ...(deep.length === 0 || deep.length === dig.holes.length ? []
      : [[html`<b>${say("dig.asked", { holes: deep.map((hole) => holeWords(site, hole.name, hole.kind, reader)).join(", ") })}</b>`, "", bulk(dig.volume), ...slopes.map((slope) => html`<b>${bulk(total(slope, isDeep))}</b>`)]]),
  ], { label: say("dig.title", { bulking: figure(figures.bulking) }), kind: "dig" })}
<p>${say("dig.left", { loose: bulk(cover.spoilLoose), mass: mass(cover.spoilMass), loads: counted(cover.loads, "load", reader), load: loadWords(cover.load, reader) })} ${reachWords(site, reader, ({ feature: { kind } }) => kind !== "service").join(" ")}</p>
<p>${uprightWords(list, deep.length === 0 ? dig.holes : deep, site, reader)}</p>
<h2>${say("steps.title")}</h2>
<ol class="steps">${stepsOf(site, reader).map(({ words, photo, task }) => html`<li${photo === null ? null : html` class="hold"`}>${tick}${words}${photo === null ? null : html` <b>${say("step.hold", { photo })}</b>`}${task === "mark" && clashes(site, Infinity).length > 0 ? html` <b>${say("step.stop")}</b> ${blank(14)}` : null}</li>`)}</ol>
<p>${say("step.holdWho", { who: say("sign.who") })}${deep.length === 0 ? null : ` ${say("step.shoreWho")}`}</p><p class="warn">${say("step.gas")}</p>`;
}

/** Which amounts belong to upright sides, and what laid-back ones would take besides, of the holes that are asked to be so. */
function uprightWords({ cover, figures }: Buying["list"], holes: readonly Hole[], { chamberBank: pit, overflowTrench: trench }: Site, { say, bulk, sheet }: Reader): string {
  const stone = (slope: number): number => holes.reduce((sum, hole) => {
    const depth = hole.kind === "pit" ? pit.stone.depth : hole.kind === "trench" ? trench!.stone.depth : 0;
    const block = { ...hole, depths: [depth, depth] as const, volume: hole.length * hole.width * depth };
    return sum + laidBack(block, slope).volume - block.volume;
  }, 0);
  const turf = (slope: number): number => cover.turfArea + holes.reduce((sum, hole) => {
    const { topLength, topWidth } = laidBack(hole, slope);
    return sum + topLength * topWidth - hole.length * hole.width;
  }, 0);
  const area = (slope: number): string => (figures.turfThickness > 0 ? sheet(turf(slope)) : "–");
  return say("dig.upright", { stone: bulk(stone(1)), stoneFlat: bulk(stone(1.5)), turf: area(1), turfFlat: area(1.5) });
}

/** The fittings of one size in one line. */
function fittingRows(items: Buying["rows"], say: Reader["say"]): Pick<Buying["rows"][number], "item" | "amount" | "unit" | "note">[] {
  const sizes = [...new Set(items.flatMap(({ fitting }) => (fitting === null ? [] : [fitting])))];
  return sizes.map((size) => {
    const of = items.filter(({ fitting }) => fitting === size);
    return {
      item: say("buy.fittings", { size }), amount: String(of.reduce((sum, { amount }) => sum + Number(amount), 0)), unit: say("unit.pieces"),
      note: of.map(({ item, amount }) => `${amount} × ${item}`).join("; "),
    };
  });
}

/** A step of the work, with the photo to take at a hold point. */
interface Step {
  readonly task: DigTask | "mark" | "fabric" | "test";
  readonly words: string;
  readonly photo: string | null;
}

/** The steps of the work in its one order, in which the levels of sheet 2 are dug and set too; the outlet first. */
function stepsOf(site: Site, reader: Reader): Step[] {
  const { overflowTrench: trench, emitter, chamberBank: pit } = site;
  const { say, size, length, units } = reader;
  const levels = digLevels(site);
  const list = takeOff(site);
  const from = shoreFrom({ list });
  const deepKinds = new Set(list.dig.holes.filter((hole) => !isBelow(deepest(hole), from)).map(({ kind }) => kind));
  const lift = size(LIFT[units]);
  const drill = { hole: size(DRILL[units].hole), every: size(DRILL[units].every) };
  const steps: Step[] = [];
  let shoredIn: number | null = null;
  const step = (task: Step["task"], words: readonly (string | null)[], photo: string | null = null): void => {
    const numbers = levels.flatMap((each, i) => (each.task === task ? [i + 1] : []));
    steps.push({ task, words: [...words.filter((text) => text !== null), ...(numbers.length === 0 ? [] : [say("step.levels", { rows: runsOf(numbers) })])].join(" "), photo });
  };
  const shored = (...kinds: readonly Hole["kind"][]): string | null => {
    if (!kinds.some((kind) => deepKinds.has(kind))) return null;
    if (shoredIn !== null) return say("step.shoreSame", { n: shoredIn });
    shoredIn = steps.length + 1;
    return say("step.shoreIn", { from: length(from) });
  };
  step("mark", [say(setOut(site, site.papers?.fixedPoints ?? null) === null ? "step.markNone" : "step.mark")], say("photo.mark"));
  if (trench !== null) step("trench", [say("step.trench"), shored("trench")]);
  step("pit", [shored("pit"), say("step.pit")], say("photo.rake"));
  const { boxBase, pipeBed } = list.figures;
  const bedAssumed = list.assumed.some(({ key }) => key === "boxBase" || key === "pipeBed");
  step("boxes", [say("step.box", { box: reader.between(boxBase, 0), pipe: reader.between(pipeBed, 0), source: bedAssumed ? ` (${say("status.common practice")})` : "" }), shored("box", "pipe")]);
  step("fabric", [say(trench === null ? "step.fabricPit" : "step.fabric"), deepKinds.has("pit") || deepKinds.has("trench") ? say("step.fabricShored") : null]);
  if (trench !== null) {
    step("outlet", [trench.pipe === null ? say("step.outletStone") : say("step.outletPipe", { bed: reader.between(trench.pipe.bedding, 0) }), emitter !== null ? say("step.riser") : trench.pipe === null ? null : say("step.endCap"),
      emitter === null || emitter.weepHole === null ? null : say("step.weep", { size: size(emitter.weepHole.diameter) })]);
  }
  const chambers = pit.chambers.length > 0;
  if (chambers) step("base", [pit.stone.base > 0 ? say("step.base", { base: reader.between(pit.floor + pit.stone.base, pit.floor) }) : say("step.baseNone")]);
  step("chambers", [chambers && deepKinds.has("pit") ? say("step.frames") : null, say(chambers ? "step.chambers" : "step.noChambers", drill)]);
  const drop = trench === null ? null : inletDrop(trench);
  step("pipes", [
    say(chambers ? "step.pipes" : "step.pipesStone", { lift }), say(chambers ? "step.cut" : "step.cutStone"), trench === null ? null : say(drop === null ? "step.pipeMouth" : hasBends(drop) ? "step.pipeBends" : "step.pipeCoupled"),
    chambers ? say("step.covers") : null,
  ], say("photo.chambers"));
  step("stone", [say(trench === null ? "step.fillPit" : "step.fill", { lift }), shoredIn === null ? null : say("step.shoreOut")]);
  step("test", [say("step.test")], say("photo.test"));
  step("cover", [say(emitter === null ? "step.coverNoLid" : "step.cover"), say("step.roof")]);
  return steps;
}

/** Numbers in a row as a span: `1–3, 5`. */
function runsOf(numbers: readonly number[]): string {
  const runs: [number, number][] = [];
  for (const each of numbers) {
    const last = runs.at(-1);
    if (last !== undefined && last[1] === each - 1) last[1] = each;
    else runs.push([each, each]);
  }
  return runs.map(([from, to]) => (from === to ? String(from) : `${from}–${to}`)).join(", ");
}

/** Holes in the standpipe, through which it stands as the pit does [m]; common practice. */
const DRILL = Object.freeze({ us: { hole: 0.00635, every: 0.1016 }, si: { hole: 0.006, every: 0.1 } });

/** Height of a lift of stone [m]; common practice. */
const LIFT = Object.freeze({ us: 0.3048, si: 0.3 });

function fillTestSheet(site: Site, reader: Reader): Markup {
  const { say, level, levelStaff, staff, water, flow, lasting, units } = reader;
  const test = fillSheet(site);
  const { chamberBank: pit } = site;
  if (test.target <= test.start) return html`<p class="warn">${say("fill.none", { level: level(test.start) })}</p>`;
  const mark = pit.ground;
  const tape = (at: number): string => staff(mark - at);
  const soaks = floorsTake(site) || sidesTake(site);
  const twelve = test.rows.find(({ time }) => time === PASS_AFTER)!;
  const clock = (): Markup => rows([say("fill.head.after"), ...(soaks ? [say("fill.head.pass")] : []), say("fill.head.clock"), say("fill.head.tape")], test.rows.map(({ time, designed }) => [
    time === 0 ? "0" : lasting(time), ...(soaks ? [time === PASS_AFTER ? html`<b>${tape(designed)}</b>` : tape(designed)] : []), blank(7), blank(9),
  ]), { label: say("crew4.title") });
  const head = (title: string): Markup => html`<h3>${title}</h3><p>${say("fill.date")} ${blank(16)}<br>${say("fill.open")} ${blank(7)} ${say("fill.shut")} ${blank(7)}</p>${clock()}`;
  return html`<p class="warn">${say("fill.mark", { level: levelStaff(mark) })}</p>
<p>${say("fill.close", { tape: tape(test.target), volume: water(test.volume) })} ${test.hoses.map((hose) => (hose.duration === null ? say("fill.hoseNever", { flow: flow(hose.flow) }) : say("fill.hose", { flow: flow(hose.flow), time: lasting(hose.duration) }))).join(". ")}. ${say("fill.second", { tape: tape(test.target - 0.75 * (test.target - test.start)) })}</p>
<div class="box"><b>${soaks ? say("fill.pass", { hours: PASS_AFTER / 3600, tape: tape(twelve.designed) }) : say("fill.sealed")}</b> ${say("fill.fail")}${soaks && twelve.designed > test.target - SMALL_FALL ? ` ${say("fill.small", { by: reader.between(mark - twelve.designed, mark - test.target) })}` : ""}</div>
<div class="two"><div>${head(say("fill.first"))}</div><div>${head(say("fill.secondHead"))}</div></div>
${soaks ? html`<figure>${fillChart(site, test.target, reader)}<figcaption>${say("fill.graph", { hours: PASS_AFTER / 3600 })}</figcaption></figure>` : null}
<p>${readingWords(site, reader)}</p>
<p>${say("fill.rain", { blank: "________", most: reader.depth(units === "us" ? 0.00508 : 0.005) })} ${say("fill.edge")}</p>`;
}

/** From where a hand reaches the standpipe while the pit stands open. */
function readingWords(site: Site, { say, tape, between }: Reader): string {
  const { ground, stoneTop } = site.chamberBank;
  const { edge, reach } = standpipeReach(site);
  return say("fill.read", { edge, reach: tape(reach), open: between(Math.max(ground, stoneTop), stoneTop) });
}

/** A fall that a tape tells from none, four times what it is read to [m]. */
const SMALL_FALL = 0.0127;

function fillChart(site: Site, target: number, reader: Reader): Markup {
  const { ground: mark, floor } = site.chamberBank;
  const { say, number, units } = reader;
  const unit = displayUnits(units).level;
  const down = (level: number): number => (mark - level) / unit.size;
  // every half hour: a pit that is empty between two looks bends there
  const times = Array.from({ length: 49 }, (_, i) => 1800 * i);
  const levels = fallFrom(site, target, 1, times);
  const lines = times.map((time, i) => [time / 3600, down(levels[i]!)] as const);
  const ticks = roundTicks(down(target), down(floor), 6);
  const bottom = Math.max(ticks.at(-1)!, down(floor));
  return chartDrawing({
    words: say("fill.graph", { hours: PASS_AFTER / 3600 }), height: 270, minor: 3,
    x: { ticks: [0, 4, 8, 12, 16, 20, 24], text: String, title: say("fill.graphX") },
    y: { bottom, top: ticks[0]!, ticks, text: (value) => (units === "us" ? staffText(value * unit.size, units, { fractions: 2 }) : number(String(value))), minor: units === "us" ? inches(ticks) : 4, title: say("fill.graphY", { unit: unit.label }) },
    band: { color: "#cfe8d2", points: [...lines, [24, bottom], [0, bottom]] },
    lines: [
      { label: say("fill.designed"), points: lines, color: "#2f6b3a" },
      { label: "", points: [[PASS_AFTER / 3600, ticks[0]!], [PASS_AFTER / 3600, bottom]], dash: "5 4" },
    ],
  });
}

/** Fine lines between two ticks in feet: every inch, or every three where feet are whole. */
function inches(ticks: readonly number[]): number {
  const step = (ticks[1]! - ticks[0]!) * 12;
  return step < 12 ? Math.round(step) - 1 : Math.round(step / 3) - 1;
}
