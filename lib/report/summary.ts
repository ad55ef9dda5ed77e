import { flowText, type UnitSystem, volumeText, waterText } from "../text/format.ts";
import { toldFirings } from "../simulate/firings.ts";
import type { Run } from "../simulate/run.ts";
import { emitterTotals, spilledText } from "../figures/answer.ts";
import { plainText } from "../text/plainText.ts";
import { bodyViews, DRY } from "../figures/bodyViews.ts";
import { lastingText, momentText } from "../text/hours.ts";
import { rainText } from "../figures/rainPanel.ts";
import { waterBook } from "../figures/waterBook.ts";
import type { Site } from "../site/site.ts";
import type { RunClock } from "../text/clockText.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import { waysOut, type WayOut } from "../simulate/waysOut.ts";
import { besideSealed } from "../study/sidesOnly.ts";
import { runWords } from "../study/runWords.ts";
import { drainCell, neverEmpty } from "./drainWords.ts";
import { failingHead, firstOutText } from "./wayOut.ts";
import { heightText, percentText } from "../text/words.ts";

/** A storm on a site: the name it goes by, and what it does. */
export interface StormRun {
  readonly name: string;
  readonly run: Run;
  /** what was assumed, repaired and refused in the record its rain is from */
  readonly rainNotes?: readonly string[];
  /** of a record with dates: where hour 0 stands */
  readonly clock?: RunClock;
}

/** A storm whose run could not go on, and why in words. */
export interface StoppedStorm {
  readonly name: string;
  readonly why: string;
}

/** What stands beside the storms that ran, of one that did not. */
export function stoppedNote({ name, why }: StoppedStorm): string {
  return `The storm “${plainText(name, 60)}” could not be run to its end and is not among these: ${why}.`;
}

/** All that is to be said of a storm in words: of its rain, of what it does, and of what it will do once silt has sealed the floors. */
export function stormNotes({ run, rainNotes = [] }: StormRun): readonly string[] {
  return [...rainNotes, ...run.notes, ...sealedNote(run)];
}

/** The check with the sides alone, where the floors are open; a run that cannot be made to its end has none. */
function sealedNote(run: Run): readonly string[] {
  try {
    const { open, sealed } = besideSealed(run);
    return open === sealed ? [] : [`Once silt has sealed the floors ${runWords(sealed)}.`];
  } catch (failure) {
    if (failure instanceof StoppedRun) return [];
    throw failure;
  }
}

/** A row of the answers: what is answered, and each storm's answer. */
export interface SummaryRow {
  readonly label: string;
  readonly values: readonly string[];
  /** a row that belongs to the one above it */
  readonly under: boolean;
}

/** Rows that belong together. */
export interface SummaryGroup {
  readonly heading: string;
  readonly rows: readonly SummaryRow[];
}

/**
 * The answers of several storms on one site side by side, in the water's way: rain, levels with what is to spare, the
 * emitter (time and volume first, the count last), the time to empty, and where the water went.
 *
 * @param storms  one or more, of one site
 */
export function summary(storms: readonly StormRun[]): SummaryGroup[] {
  const runs = storms.map(({ run }) => run);
  return [rainGroup(runs), levelGroup(runs), surfaceGroup(runs), drainGroup(runs), ledgerGroup(runs)];
}

type Answer = (run: Run) => string;

function row(label: string, runs: readonly Run[], answer: Answer, under: boolean = false): SummaryRow {
  return { label, values: runs.map(answer), under };
}

function rainGroup(runs: readonly Run[]): SummaryGroup {
  return {
    heading: "Water in",
    rows: [
      ...(runs.every(({ rain }) => rain === null) ? [] : [row("fallen", runs, (run) => (run.rain === null ? "not given" : rainText(run)))]),
      row("ran in", runs, ({ ledger, site }) => volumeText(ledger.inflow, site.units)),
      ...bookRows(runs, "stood there before", (key) => key === "storedStart"),
      ...bookRows(runs, "groundwater in", (key) => key.endsWith("Seepage")),
      row("together", runs, (run) => volumeText(waterBook(run).total, run.site.units), true),
    ],
  };
}

/** A row of what came in beside the rain; none where no storm has it. */
function bookRows(runs: readonly Run[], label: string, belongs: (key: string) => boolean): SummaryRow[] {
  const volumes = runs.map((run) => waterBook(run).cameIn.filter(({ key }) => belongs(key)).reduce((sum, { volume }) => sum + volume, 0));
  if (volumes.every((volume) => volume === 0)) return [];
  return [{ label, values: volumes.map((volume, i) => (volume === 0 ? "–" : volumeText(volume, runs[i]!.site.units))), under: false }];
}

function levelGroup(runs: readonly Run[]): SummaryGroup {
  const { site } = runs[0]!;
  return {
    heading: "Highest water",
    rows: bodyViews(runs[0]!).flatMap(({ body, words, floor, brim }) => [
      row(words, runs, (run) => {
        const { level, time } = run.peaks[body]!;
        return level - floor <= DRY ? "dry" : `${waterText(level, site.units)}, ${shortMoment(time)}`;
      }),
      // a dry floor is no water below an edge
      row(`to its ${brim.words}`, runs, (run) => (run.peaks[body]!.level - floor <= DRY ? "–" : spareText(brim.level - run.peaks[body]!.level, site.units)), true),
    ]),
  };
}

/** What is left below an edge [m], or how far the water stands over it. */
export function spareText(spare: number, units: UnitSystem): string {
  return spare >= 0 ? `${heightText(spare, units)} to spare` : `${heightText(-spare, units)} over it`;
}

function surfaceGroup(runs: readonly Run[]): SummaryGroup {
  const { site } = runs[0]!;
  const surface = [
    row(edgeWords(site), runs, spilledText),
    ...wayOutRows(runs),
  ];
  if (site.emitter === null) return { heading: "Out at the surface", rows: surface };
  const totals = (run: Run, words: (totals: NonNullable<ReturnType<typeof emitterTotals>>) => string, none: string): string => {
    const found = emitterTotals(run);
    return found === null ? none : words(found);
  };
  const fires = row("emitter fires", runs, (run) => totals(run, ({ open }) => lastingText(open), "stays shut"));
  if (runs.every(({ firings }) => firings.length === 0)) return { heading: "Out at the surface", rows: [fires, ...surface] };
  return {
    heading: "Out at the surface",
    rows: [
      fires,
      row("lets out", runs, (run) => totals(run, ({ volume }) => volumeText(volume, site.units), "–"), true),
      row("at most", runs, (run) => totals(run, ({ peakFlow }) => flowText(peakFlow, site.units), "–"), true),
      row("firings", runs, firingsText, true),
      ...surface,
    ],
  };
}

/** The places but the emitter at which water comes to the surface, for a label: `over rims and ground`. */
export function edgeWords({ lowSpot }: Site): string {
  return lowSpot === null ? "over rims and ground" : lowSpot.grate === null ? "over rims, ground, lip" : "over rims, ground, grate, lip";
}

/** How many, a lid that flutters said. */
function firingsText(run: Run): string {
  const told = toldFirings(run);
  return `${told.length}${told.length < run.firings.length ? ", its lid flutters" : ""}`;
}

/** Where it comes out first, and where with a part failing; a lid that never opened changes nothing when it sticks. */
function wayOutRows(runs: readonly Run[]): SummaryRow[] {
  const first = (run: Run, when: WayOut["when"]): string => {
    const way = waysOut(run).find((each) => each.when === when);
    return way === undefined ? "the same" : firstOutText(way.exits);
  };
  const sticks = runs.some(({ firings }) => firings.length > 0);
  return [
    row("comes out first", runs, (run) => first(run, "asRun")),
    ...(sticks ? [row("with the lid stuck shut", runs, (run) => first(run, "lidShut"), true)] : []),
    row(`with the ${failingHead(runs[0]!.site, "boxOutletBlocked")}`, runs, (run) => first(run, "boxOutletBlocked"), true),
  ];
}

function drainGroup(runs: readonly Run[]): SummaryGroup {
  const isWet = runs.some(neverEmpty);
  return {
    heading: "Pit, after it was last full",
    rows: [
      row("half empty", runs, (run) => drainCell(run, "half")),
      row("empty", runs, (run) => (neverEmpty(run) ? "never: groundwater" : drainCell(run, "empty"))),
      ...(isWet ? [row("back at its groundwater", runs, (run) => (neverEmpty(run) ? drainCell(run, "empty") : "–"), true)] : []),
    ],
  };
}

function ledgerGroup(runs: readonly Run[]): SummaryGroup {
  const books = runs.map((run) => waterBook(run));
  const keys = new Map(books.flatMap(({ wentTo }) => wentTo.map(({ key, words }): [string, string] => [key, key === "storedEnd" ? "still held at the end" : words])));
  // In the order of the book, which each storm may fill only in part.
  const order = ["bankSeepage", "trenchSeepage", "lowSpotSeepage", "weep", "emitter", "boxSpill", "bankSpill", "trenchSpill", "lowSpotOverflow", "storedEnd"];
  return {
    heading: "Where it went, of all together",
    rows: order.filter((key) => keys.has(key)).map((key) => ({
      label: keys.get(key)!, under: false,
      values: books.map(({ wentTo }) => {
        const entry = wentTo.find((each) => each.key === key);
        return entry === undefined ? "–" : `${volumeText(entry.volume, runs[0]!.site.units)}, ${percentText(entry.share, entry.percent)}`;
      }),
    })),
  };
}

function shortMoment(time: number): string {
  return momentText(time).replace("hour ", "h ");
}
