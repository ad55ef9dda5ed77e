import { depthText, displayUnits, lengthText, levelText, threeFigures, type UnitSystem } from "../text/format.ts";
import { staffText } from "../text/staffText.ts";
import { plainText } from "../text/plainText.ts";
import { levelList, type LevelList, type LevelListOptions, type StaffRow } from "../plan/levelList.ts";
import type { LevelRun } from "../plan/levelRows.ts";
import type { Site } from "../site/site.ts";
import { html, type Markup } from "./markup.ts";

/**
 * The level list as a table to hold in the hand: a row a level in the water's way, with its depth below ground, how it falls
 * from the level before, and room to write what was built; then what does not descend, and what the survey can tell.
 *
 * @param options.benchmark  as for `levelList`; adds what is to be read on the staff
 */
export function levelPart(site: Site, options: LevelListOptions = {}): Markup {
  const list = levelList(site, options);
  const { units } = site;
  const columns = COLUMNS.filter(({ shown }) => shown(list, units));
  const body = (heading: string, rows: readonly StaffRow[]): Markup => html`<tbody>
<tr class="group"><th scope="rowgroup" colspan="${columns.length + 1}">${heading}</th></tr>
${rows.map((row) => html`<tr class="under"><th scope="row">${plainText(row.name, 60)}</th>${columns.map(({ cell }) => html`<td>${cell(row, units)}</td>`)}</tr>`)}</tbody>`;
  return html`<h3>${headline(list)}</h3>
<div class="scroll" role="region" aria-label="Levels" tabindex="0"><table class="levels">
<caption>${caption(list, units)}</caption>
<thead><tr><th scope="col">level of</th>${columns.map(({ head }) => html`<th scope="col">${head(units)}</th>`)}</tr></thead>
${stations(list.rows).map(([station, rows]) => body(plainText(station, 60), rows))}
${list.watch.length === 0 ? null : body("levels to watch", list.watch)}
</table></div>
<h3>What the levels say</h3>
<ul class="notes">${[...list.notes, ...list.survey.words].map((note) => html`<li>${plainText(note)}</li>`)}</ul>`;
}

interface Column {
  readonly head: (units: UnitSystem) => string;
  readonly cell: (row: StaffRow, units: UnitSystem) => string;
  readonly shown: (list: LevelList, units: UnitSystem) => boolean;
}

const COLUMNS: readonly Column[] = [
  { head: (units) => `level, ${displayUnits(units).level.label}`, cell: ({ level }, units) => levelText(level, units).replace(/ \S+$/, ""), shown: () => true },
  // metres to the millimetre are what a metric staff shows
  { head: () => "in feet and inches", cell: ({ level }, units) => staffText(level, units), shown: (_, units) => units === "us" },
  { head: () => "read on the staff", cell: ({ reading }, units) => readingText(reading, units), shown: ({ heightOfInstrument }) => heightOfInstrument !== null },
  { head: () => "below ground", cell: ({ depth }, units) => groundText(depth, units), shown: () => true },
  { head: () => "falls, over, slope", cell: ({ along }, units) => runText(along, units), shown: () => true },
  // blank, and wide enough to write in
  { head: () => "as built", cell: () => "\u00a0".repeat(12), shown: () => true },
];

function headline({ descents }: LevelList): string {
  const wrong = descents.filter(({ words }) => words !== null).length;
  if (wrong === 0) return "Levels: all that has to descend does";
  return `Levels: ${wrong === 1 ? "one thing does" : `${wrong} things do`} not descend that should`;
}

function caption({ heightOfInstrument }: LevelList, units: UnitSystem): string {
  const sight = heightOfInstrument === null ? "" : ` The line of sight lies at ${levelText(heightOfInstrument, units)}; the staff shows how far below it a level is.`;
  return `In the water's way, above the site's own datum. Inverts are inside bottoms of pipes.${sight}`;
}

/** Rows in runs of one station, in their order. */
function stations(rows: readonly StaffRow[]): [string, StaffRow[]][] {
  const found: [string, StaffRow[]][] = [];
  for (const row of rows) {
    const last = found.at(-1);
    if (last !== undefined && last[0] === row.station) last[1].push(row);
    else found.push([row.station, [row]]);
  }
  return found;
}

function readingText(reading: number | null, units: UnitSystem): string {
  if (reading === null) return "";
  return reading < 0 ? "above the sight" : staffText(reading, units);
}

function groundText(depth: number | null, units: UnitSystem): string {
  if (depth === null) return "–";
  const text = staffText(Math.abs(depth), units);
  if (text === staffText(0, units)) return "at ground";
  return depth < 0 ? `${text} above` : text;
}

function runText(along: LevelRun | null, units: UnitSystem): string {
  if (along === null) return "";
  const { length, fall, slope } = along;
  const over = length > 0 ? ` over ${lengthText(length, units)}` : "";
  if (depthText(Math.abs(fall), units) === depthText(0, units)) return `level${over}`;
  const percent = slope === null ? "" : `, ${threeFigures(Math.abs(slope) * 100)}\u00a0%`;
  return `${fall < 0 ? "up " : ""}${depthText(Math.abs(fall), units)}${over}${percent}`;
}
