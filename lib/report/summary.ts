import { depthText, flowText, levelText, volumeText, type UnitSystem } from "../units/format.ts";
import type { Run } from "../simulate/run.ts";
import { emitterTotals, surfaceVolume } from "../figures/answer.ts";
import { bodyViews, DRY } from "../figures/bodyViews.ts";
import { lastingText, momentText } from "../figures/hours.ts";
import { rainText } from "../figures/rainPanel.ts";
import { shareText, waterBook } from "../figures/waterBook.ts";
import { waysOut, type WayOut } from "../simulate/waysOut.ts";
import { firstOutText } from "./wayOut.ts";

/** A storm on a site: the name it goes by, and what it does. */
export interface StormRun {
  readonly name: string;
  readonly run: Run;
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
 * emitter (volume and time first, the count last), the time to empty, and where the water went.
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
    ],
  };
}

function levelGroup(runs: readonly Run[]): SummaryGroup {
  const { site, bodies } = runs[0]!;
  return {
    heading: "Highest water",
    rows: bodyViews(site, bodies).flatMap(({ body, words, floor, brim }) => [
      row(words, runs, (run) => {
        const { level, time } = run.peaks[body]!;
        return level - floor <= DRY ? "dry" : `${levelText(level, site.units)}, ${shortMoment(time)}`;
      }),
      row(`to its ${brim.words}`, runs, (run) => spareText(brim.level - run.peaks[body]!.level, site.units), true),
    ]),
  };
}

/** What is left below an edge [m], or how far the water stands over it. */
export function spareText(spare: number, units: UnitSystem): string {
  return spare >= 0 ? `${levelText(spare, units)} to spare` : `${depthText(-spare, units)} over it`;
}

/** A time after which something was reached, or not [s]; 0: there was nothing to wait for. */
export function reachedText(after: number | null, run: Run): string {
  if (after === null) return `not by ${momentText(run.until)}`;
  return after === 0 ? "–" : lastingText(after);
}

function surfaceGroup(runs: readonly Run[]): SummaryGroup {
  const { site } = runs[0]!;
  const surface = [
    row("over rims and ground", runs, (run) => (surfaceVolume(run) > 1e-4 ? volumeText(surfaceVolume(run), site.units) : "nothing")),
    ...wayOutRows(runs),
  ];
  if (site.emitter === null) return { heading: "Out at the surface", rows: surface };
  const totals = (run: Run, words: (totals: NonNullable<ReturnType<typeof emitterTotals>>) => string, none: string): string => {
    const found = emitterTotals(run);
    return found === null ? none : words(found);
  };
  const lets = row("emitter lets out", runs, (run) => totals(run, ({ volume }) => volumeText(volume, site.units), "stays shut"));
  if (runs.every(({ firings }) => firings.length === 0)) return { heading: "Out at the surface", rows: [lets, ...surface] };
  return {
    heading: "Out at the surface",
    rows: [
      lets,
      row("flows for", runs, (run) => totals(run, ({ open }) => lastingText(open), "–"), true),
      row("at most", runs, (run) => totals(run, ({ peakFlow }) => flowText(peakFlow, site.units), "–"), true),
      row("openings", runs, (run) => String(run.firings.length), true),
      ...surface,
    ],
  };
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
    row("with the box outlet choked", runs, (run) => first(run, "boxOutletBlocked"), true),
  ];
}

function drainGroup(runs: readonly Run[]): SummaryGroup {
  return {
    heading: "Pit, after its fullest",
    rows: [
      row("half empty in", runs, (run) => reachedText(run.drainDown.half, run)),
      row("empty in", runs, (run) => reachedText(run.drainDown.empty, run)),
    ],
  };
}

function ledgerGroup(runs: readonly Run[]): SummaryGroup {
  const books = runs.map((run) => waterBook(run));
  const keys = new Map(books.flatMap(({ wentTo }) => wentTo.map(({ key, words }): [string, string] => [key, key === "storedEnd" ? "still held at the end" : words])));
  // In the order of the book, which each storm may fill only in part.
  const order = ["bankSeepage", "trenchSeepage", "lowSpotSeepage", "weep", "emitter", "boxSpill", "bankSpill", "trenchSpill", "lowSpotOverflow", "storedEnd"];
  return {
    heading: "Where the water went",
    rows: order.filter((key) => keys.has(key)).map((key) => ({
      label: keys.get(key)!, under: false,
      values: books.map(({ wentTo }) => {
        const entry = wentTo.find((each) => each.key === key);
        return entry === undefined ? "–" : shareText(entry.share);
      }),
    })),
  };
}

function shortMoment(time: number): string {
  return momentText(time).replace("hour ", "h ");
}
