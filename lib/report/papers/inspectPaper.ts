import { isTested } from "../../site/testHoles.ts";
import { greatestOf } from "../../numerics/extremes.ts";
import type { Site } from "../../site/site.ts";
import { siting } from "../../plan/siting.ts";
import { fillSheet } from "../../dips/fillSheet.ts";
import { edgeStrip, nearLine, nearLines } from "../../plan/hazards.ts";
import { setOut } from "../../plan/setOut.ts";
import { takeOff } from "../../plan/takeOff.ts";
import { clashes } from "../../plan/clashes.ts";
import { html, type Markup } from "../markup.ts";
import { shoreFrom } from "./crewPaper.ts";
import { blank, tick, type Sheet } from "./paperFrame.ts";
import type { Reader } from "./reader.ts";
import { clashWords, designWords, featureWords, floorSoilWords, holeWords, reachWords, saysWords } from "./words.ts";

/** The inspector's one sheet: three short lists, each with the figures to look for. */
export function inspectPaper(site: Site, reader: Reader): Sheet[] {
  const { say } = reader;
  const list = (title: string, points: readonly string[]): Markup => html`<h2>${title}</h2>
<ul style="list-style:none;padding:0">${points.map((point) => html`<li style="padding-left:20px;text-indent:-20px">${tick}${point}</li>`)}</ul><p>${say("insp.sign")}: ${blank(34)}</p>`;
  return [{
    title: say("insp.title"),
    body: html`<div class="roomy"><p>${say("design.line", { works: designWords(site, reader) })}</p>
${list(`1 ${say("insp.before")}`, before(site, reader))}
${list(`2 ${say("insp.open")}`, open(site, reader))}
${list(`3 ${say("insp.end")}`, atEnd(site, reader))}
<p class="soft">${say("insp.covers")}</p><p class="soft">${say("own.decide")}</p></div>`,
  }];
}

function before(site: Site, reader: Reader): string[] {
  const { say, length, tape } = reader;
  const near = nearLines(site);
  const crossed = near.filter(({ distance }) => distance === 0);
  const { setbacks } = siting(site);
  const asked = setbacks.flatMap(({ rule, feature, pit, pitMargin, trench, trenchMargin }) => [
    { rule, feature, found: pit, margin: pitMargin, hole: say("hole.pit") },
    ...(trench === null ? [] : [{ rule, feature, found: trench, margin: trenchMargin!, hole: say("hole.trench") }]),
  ]);
  const nearest = asked.sort((a, b) => a.margin - b.margin)[0];
  const untested = site.soil.layers.filter((layer) => !isTested(layer)).length;
  const { length: long, width } = site.chamberBank;
  return [
    site.surroundings === null ? say("lines.noPlan") : say("insp.lines", { near: length(nearLine(site)), n: near.length }),
    ...crossed.map((row) => say("insp.crosses", { what: `${featureWords(row.feature, reader)} × ${holeWords(site, row.from, row.kind, reader)}` })),
    ...(nearest === undefined ? [] : [say("insp.setback", { feature: featureWords(nearest.feature, reader), found: reader.distance(nearest.found), hole: nearest.hole, asked: reader.number(nearest.rule.distance), says: saysWords(nearest.rule.says, reader) })]),
    setOut(site, site.papers?.fixedPoints ?? null) === null ? `${say("insp.pegsNone")} ________________` : say("insp.pegs", { diagonal: tape(Math.hypot(long, width)) }),
    say("insp.test", { n: untested, of: site.soil.layers.length }),
    ...reachWords(site, reader, ({ feature: { kind } }) => kind === "service"),
    ...clashes(site, Infinity).map((clash) => say("insp.clash", { what: clashWords(site, clash, reader) })),
  ];
}

function open(site: Site, reader: Reader): string[] {
  const { say, levelStaff, tape, length, between } = reader;
  const { chamberBank: pit } = site;
  const table = pit.groundwater === null ? null : greatestOf(pit.groundwater.level);
  const depth = shoreFrom({ list: takeOff(site) });
  return [
    say("insp.floor", { level: levelStaff(pit.floor), deep: between(pit.ground, pit.floor), length: tape(pit.length), width: tape(pit.width) }), say("insp.soil", { soil: floorSoilWords(site, reader) }),
    table === null ? say("insp.noWater") : say("insp.water", { table: levelStaff(table), apart: between(pit.floor, table) }),
    say("insp.shored", { depth: length(depth), edge: length(edgeStrip(site)) }), say("insp.raked"), say("insp.roofOff"),
    ...clashes(site, depth).filter(({ kind }) => kind === "shoringAcrossPipe").map((clash) => clashWords(site, clash, reader)),
  ];
}

function atEnd(site: Site, reader: Reader): string[] {
  const { say, levelStaff, staff } = reader;
  const { chamberBank: pit, settlingBoxes, overflowTrench: trench, emitter } = site;
  const test = fillSheet(site);
  const twelve = test.rows.find(({ time }) => time === 12 * 3600)!;
  return [
    say("insp.levels", { box: settlingBoxes.map(({ outlet }) => levelStaff(outlet.outletInvert)).join(", "), inlet: trench === null ? "–" : levelStaff(trench.inlet.invert), lid: emitter === null ? "–" : levelStaff(emitter.crest) }),
    test.target <= test.start ? say("insp.noFill") : say("insp.fill", { hours: 12, tape: staff(pit.ground - twelve.designed) }),
    say("insp.standpipe"), ...(emitter === null ? [] : [say("insp.lid")]), say("insp.clean"), say("insp.papers"),
  ];
}
