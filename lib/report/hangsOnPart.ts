import { momentText, lastingText } from "../text/hours.ts";
import { groundwaterOut, spilledText } from "../figures/answer.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import { drainTime, REST_WORDS } from "../simulate/drainTime.ts";
import type { Run } from "../simulate/run.ts";
import type { Site } from "../site/site.ts";
import { soilCaveat } from "../site/siteNotes.ts";
import { floorsTake, sidesTake } from "../site/takesIn.ts";
import { besidePaths, type PathCase } from "../study/pathBand.ts";
import { besideSealed } from "../study/sidesOnly.ts";
import { lengthText, volumeText, waterText } from "../text/format.ts";
import { drainCell, neverEmpty } from "./drainWords.ts";
import { html, type Markup } from "./markup.ts";
import type { PagePart } from "./pagePart.ts";

/** A design answer beside what it would be: a column's head, and its run, null where it could not be made. */
interface Beside {
  readonly head: string;
  readonly run: Run | null;
}

/**
 * What the answers hang on: each storm as the file says and with the floors sealed by silt, and where groundwater comes near with
 * the seepage path of one and of two times each body's own length; what is assumed of the soil first.
 *
 * @param storms  one or more, of one site
 */
export function hangsOnPart(storms: readonly { readonly name: string; readonly run: Run }[]): PagePart {
  const { site } = storms[0]!.run;
  const caveat = soilCaveat(site);
  const sets = storms.map(({ name, run }) => ({ name, run, columns: columnsOf(run) }));
  const most = sets.reduce((widest, { columns }) => (columns.length > widest.length ? columns : widest), sets[0]!.columns);
  const heads = most.map(({ head }) => head);
  const answer = answerOf(sets[0]!);
  const section = html`<section id="hangs-on" aria-labelledby="hangs-on-name">
<h2 id="hangs-on-name"><span class="storm-name">What the answers hang on</span> ${keptTogether(answer)}</h2>
${caveat === null ? null : html`<p>${caveat}</p>`}
<div class="scroll" role="region" aria-labelledby="hangs-on-name" tabindex="0"><table>
<caption>${keptTogether(sealedWords(site))}</caption>
<thead><tr><th scope="col">answer</th>${heads.map((head) => html`<th scope="col">${keptTogether(head)}</th>`)}</tr></thead>
${sets.map(({ name, run, columns }) => html`<tbody><tr class="group"><th scope="rowgroup" colspan="${heads.length + 1}"><bdi>${plainText(name, 80)}</bdi></th></tr>
${rowsFor(run, columns.some((each) => (each.run?.firings.length ?? 0) > 0)).map(({ label, cell }) => html`<tr><th scope="row">${label}</th>${heads.map((head) => cellOf(columns.find((each) => each.head === head), cell))}</tr>`)}</tbody>`)}
</table></div>
${pathWords(site, sets.some(({ columns }) => columns.length > 2))}
</section>`;
  return { answer, section, pictures: [] };
}

function columnsOf(run: Run): readonly Beside[] {
  const sealed: Beside = { head: "floors sealed", run: made(() => besideSealed(run).sealed) };
  const [given, ...others] = made(() => besidePaths(run)) ?? [{ path: "file", run } satisfies PathCase];
  return [{ head: "as the file says", run: given!.run }, sealed, ...others.map(({ path, run: other }) => ({ head: PATH_HEADS[path], run: other }))];
}

const PATH_HEADS: Readonly<Record<PathCase["path"], string>> = Object.freeze({
  file: "path of the file", 1: "path 1 × own length", 2: "path 2 × own length",
});

/** What `make` gives; null for a run that cannot be made to its end. */
function made<T>(make: () => T): T | null {
  try {
    return make();
  } catch (failure) {
    if (failure instanceof StoppedRun) return null;
    throw failure;
  }
}

function cellOf(beside: Beside | undefined, cell: (run: Run) => string): Markup {
  return html`<td>${beside === undefined ? "the same" : beside.run === null ? "not known" : keptTogether(cell(beside.run))}</td>`;
}

function rowsFor({ site }: Run, fires: boolean): readonly { readonly label: string; readonly cell: (run: Run) => string }[] {
  const { units } = site;
  const firing = (words: (run: Run) => string) => (run: Run): string => (run.firings.length === 0 ? "–" : words(run));
  return [
    { label: "pit rises to", cell: ({ peaks }) => waterText(peaks["chamberBank"]!.level, units) },
    { label: "empty, after it was last full", cell: (run) => {
      const cell = drainCell(run, "empty");
      return neverEmpty(run) && drainTime(run)?.rest === "groundwater" && !cell.startsWith("never") ? `${cell}, to its groundwater` : cell;
    } },
    ...(site.emitter === null ? [] : [
      { label: "emitter first opens", cell: opensText },
    ]),
    ...(!fires ? [] : [
      { label: "emitter open for", cell: firing(({ openTime }) => lastingText(openTime)) },
      { label: "emitter lets out", cell: firing(({ emitted }) => volumeText(emitted, units)) },
    ]),
    { label: site.emitter === null ? "comes out at the surface" : "comes out elsewhere", cell: spilledText },
  ];
}

function opensText(run: Run): string {
  if (run.firings.length === 0) return "stays shut";
  const { start } = run.firings[0]!;
  return start === 0 ? "open from the start" : groundwaterOut(run) !== null ? "by groundwater alone, rain or not" : momentText(start);
}

/** What "floors sealed" means on a site, which may have no trench, no weep hole, no sides that drain, or no open floor in its file. */
function sealedWords(site: Site): string {
  const { overflowTrench, emitter } = site;
  const floors = overflowTrench === null ? "the floor of the pit" : "the floors of pit and trench";
  const pocket = (emitter?.weepHole ?? null) === null ? "" : " and in the weep hole's pocket";
  const left = sidesTake(site) ? "only the sides drain" : "nothing drains";
  return !floorsTake(site) ? `In the file too ${floors} ${overflowTrench === null ? "takes" : "take"} in nothing${pocket === "" ? `: ${left}` : `. Sealed: silt lies in the weep hole's pocket too, and ${left}`}.`
    : `Sealed: silt lies on ${floors}${pocket}, and ${left}.`;
}

/** What is said of the path where it decides. */
function pathWords({ groundwater: { pathLength }, units }: Site, matters: boolean): Markup | null {
  if (!matters) return null;
  const taken = pathLength === null ? "each body's own length (the width of pit and trench)" : `the ${lengthText(pathLength, units)} of the file`;
  return html`<p>${keptTogether(`Groundwater comes within twice the width of a floor. How fast water soaks away then hangs on the path over which its head is lost, which nobody knows; the headlines take ${taken}.`)}</p>`;
}

function answerOf({ name, columns }: { readonly name: string; readonly columns: readonly Beside[] }): string {
  const [given, sealed] = columns as [Beside, Beside];
  const pit = `In “${plainText(name, 40)}” the pit`;
  const time = given.run === null ? null : drainTime(given.run);
  if (time === null && given.run !== null) return `${pit} takes in no water to speak of, as the file says: there is nothing to drain.`;
  const rest = time?.rest ?? "floor";
  const cell = ({ run }: Beside): string => {
    if (run === null) return "not known";
    const words = drainCell(run, "empty").replace(/, to .*$/, "").replace(/^never: (.*)$/, "never ($1)");
    const other = drainTime(run)?.rest ?? rest;
    return other === rest || words.startsWith("never") ? words : `${words} (${REST_WORDS[other]})`;
  };
  const columnCells = [given, sealed].map(cell);
  if (columnCells.every((each) => each.startsWith("never"))) return `${pit} never empties, as the file says or once silt has sealed the floors.`;
  const cells = new Set([given, ...columns.slice(2).filter(({ run }) => run !== null)].map(cell));
  const by = cells.size < 2 ? "" : `; by the seepage path ${[...cells].join(" or ")}`;
  return `${pit} is ${REST_WORDS[rest]} after: ${columnCells[0]!} as the file says, ${columnCells[1]!} once silt has sealed the floors${by}.`;
}
