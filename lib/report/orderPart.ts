import { bulkText, lengthText, massText, sheetText, sizeText, threeFigures, type UnitSystem } from "../text/format.ts";
import { staffText } from "../text/staffText.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { boxStation } from "../plan/levelRows.ts";
import type { Load } from "../site/materials.ts";
import type { Site } from "../site/site.ts";
import { takeOff, type DigRuleMet, type TakeOff } from "../plan/takeOff.ts";
import { cautions } from "./cautions.ts";
import { html, type Markup } from "./markup.ts";
import { capital } from "../text/words.ts";

/** The order list in the order of the working days, cautions beside what is dug, and at the end what was assumed. */
export function orderPart(site: Site, list: TakeOff = takeOff(site)): Markup {
  const { units } = site;
  return html`${digDay(list, units)}
${day("Lay", "what is laid, and how much", layRows(list, site))}
${day("Fill", "stone", fillRows(list, units))}
${day("Cover", "what covers it, and what is left over", coverRows(list, units))}
${assumedTable(list)}
<h3>What this list leaves out</h3>
<ul class="notes">${list.notes.map((note) => html`<li>${plainText(note)}</li>`)}</ul>`;
}

/** An item, its amount, and a word on it. */
type Row = readonly [item: string, amount: string, words: string];

function day(name: string, about: string, rows: readonly Row[]): Markup {
  return html`<div class="together"><h3>${name}</h3>
<div class="scroll" role="region" aria-label="${name}: ${about}" tabindex="0"><table class="words">
<thead><tr><th scope="col">item</th><th scope="col">amount</th><th scope="col">of it</th></tr></thead>
<tbody>${rows.map(([item, amount, words]) => html`<tr><th scope="row">${item}</th><td class="figure">${amount}</td><td>${words}</td></tr>`)}</tbody>
</table></div></div>`;
}

/** Cautions that belong to the day of digging, by what they are about. */
const DIGGING: readonly string[] = ["Buried lines", "Pits", "Spoil"];

function digDay({ dig, figures }: TakeOff, units: UnitSystem): Markup {
  const told = [
    ...cautions.filter(({ about }) => DIGGING.includes(about)),
    ...(dig.groundwater === null ? [] : [{ about: "Water in the pit", words: dig.groundwater }]),
  ];
  return html`<h3>Dig</h3>
<dl>${told.map(({ about, words }) => html`<div><dt>${about}</dt><dd>${words}</dd></div>`)}</dl>
<div class="scroll" role="region" aria-label="Holes" tabindex="0"><table>
<thead><tr><th scope="col">hole</th><th scope="col">long</th><th scope="col">wide</th><th scope="col">deep</th><th scope="col">in the ground</th></tr></thead>
<tbody>${dig.holes.map(({ name, length, width, depths, volume }) => html`<tr><th scope="row">${plainText(name, 60)}</th>
<td>${lengthText(length, units)}</td><td>${lengthText(width, units)}</td><td>${depthsText(depths, units)}</td><td>${bulkText(volume, units)}</td></tr>`)}
<tr><th scope="row">in all</th><td></td><td></td><td></td><td>${bulkText(dig.volume, units)}</td></tr>
<tr><th scope="row">loose, ${threeFigures(figures.bulking)} times as much</th><td></td><td></td><td></td><td>${bulkText(dig.loose, units)}</td></tr></tbody>
</table></div>
${rulesList(dig)}`;
}

function rulesList({ rules, asking }: TakeOff["dig"]): Markup {
  return html`<p>What others ask for from a depth on. ${keptTogether(asking)} No depth is safe by it: local law and a competent person on site decide.</p>
${rules.length === 0 ? null : html`<dl>${rules.map(({ rule, depth, holes }) => html`<div><dt>${depth === 0 ? "any depth" : `${rule.depth} or more`}</dt>
<dd>${plainText(`${capital(rule.asks)}. ${holesText(depth, holes)} (${rule.says}: ${rule.source}; ${rule.status}.)`)}</dd></div>`)}</dl>`}`;
}

function holesText(depth: number, holes: DigRuleMet["holes"]): string {
  if (depth === 0) return "Here: every hole.";
  return holes.length === 0 ? "Here: no hole is as deep." : `Here: ${holes.map(({ name }) => name).join(", ")}.`;
}

function layRows({ lay, figures }: TakeOff, site: Site): Row[] {
  const { units } = site;
  const { fabric } = lay;
  return [
    ["fabric", sheetText(fabric.total, units), `round the stone of ${fabric.trench > 0 ? "pit and trench" : "the pit"}, laps of ${sizeText(figures.fabricLap, units)} in; bare ${sheetText(fabric.bare, units)}`],
    ...(lay.bed > 0 ? [["bed under box and pipes", bulkText(lay.bed, units), "stone or sand"] as const] : []),
    ...site.settlingBoxes.map((box): Row => [plainText(boxStation(box, site), 60), "1", `${planText(box.plan, units)} inside, ${sizeText(box.rim - box.floor, units)} from floor to rim`]),
    ...lay.chambers.map(({ count, insideDiameter, outsideDiameter, height }): Row =>
      ["chambers", String(count), `${sizeText(insideDiameter, units)} inside, ${sizeText(outsideDiameter, units)} outside, ${sizeText(height, units)} high`]),
    ...lay.pipes.map(({ name, diameter, length, pieces }): Row =>
      [plainText(name, 60), lengthText(length, units), `${sizeText(diameter, units)} inside, ${pieces} ${pieces === 1 ? "piece" : "pieces"} of ${lengthText(figures.pipeLength, units)}`]),
    ...lay.fittings.map(({ name, diameter, count }): Row => [name, String(count), sizeText(diameter, units)]),
    ...(lay.emitter === null ? [] : [["emitter", "1", sizeText(lay.emitter, units)] as const]),
  ];
}

function fillRows({ fill, lay, figures }: TakeOff, units: UnitSystem): Row[] {
  return [
    ["stone in the pit", bulkText(fill.pitStone, units), lay.chamberVolume > 0 ? `net of ${bulkText(lay.chamberVolume, units)} of chambers` : ""],
    ...(fill.trenchStone > 0 ? [["stone in the trench", bulkText(fill.trenchStone, units), "net of its pipe"] as const] : []),
    ["stone to order", bulkText(fill.ordered, units), `with ${threeFigures(figures.stoneSpare * 100)} % to spare, ${massText(fill.mass, units)}`],
    ["loads of stone", String(fill.loads), `of ${loadText(fill.load, units)}`],
  ];
}

function coverRows({ cover }: TakeOff, units: UnitSystem): Row[] {
  return [
    ["soil put back, firm", bulkText(cover.soil, units), "from the spoil, the topsoil last"],
    ...(cover.turf > 0 ? [["turf", sheetText(cover.turfArea, units), "over everything dug"] as const] : []),
    ["spoil left over, loose", bulkText(cover.spoilLoose, units), `${bulkText(cover.spoilLeft, units)} in the ground, ${massText(cover.spoilMass, units)}`],
    ["loads of spoil", String(cover.loads), `of ${loadText(cover.load, units)}`],
  ];
}

function assumedTable({ assumed }: TakeOff): Markup | null {
  if (assumed.length === 0) return null;
  return html`<h3>Figures the site file does not give</h3>
<div class="scroll" role="region" aria-label="Figures assumed" tabindex="0"><table class="words">
<caption>Common practice is taken instead, to be put right by the yard that sells and the machine that digs: keys of materials in the site file.</caption>
<thead><tr><th scope="col">figure</th><th scope="col">taken</th><th scope="col">key</th></tr></thead>
<tbody>${assumed.map(({ key, about, written, source }) => html`<tr><th scope="row">${source === "common practice" ? about : `${about} (${source})`}</th><td class="figure">${written}</td><td>${key}</td></tr>`)}</tbody>
</table></div>`;
}

function depthsText([start, end]: readonly [number, number], units: UnitSystem): string {
  const [first, last] = [staffText(start, units), staffText(end, units)];
  return first === last ? first : `${first} to ${last}`;
}

function planText(plan: TakeOff["lay"]["boxes"][number]["plan"], units: UnitSystem): string {
  return "diameter" in plan ? `${sizeText(plan.diameter, units)} across` : `${sizeText(plan.length, units)} by ${sizeText(plan.width, units)}`;
}

function loadText(load: Load, units: UnitSystem): string {
  return "mass" in load ? massText(load.mass, units) : `${bulkText(load.volume, units)} loose`;
}
