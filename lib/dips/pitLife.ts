import { twoFigures } from "../text/format.ts";
import { capital } from "../text/words.ts";
import { InputError } from "../text/problem.ts";
import { YEAR } from "../text/unitTable.ts";
import { optionReader, type OptionReader } from "../text/optionReader.ts";
import { writtenQuantity } from "../text/writtenQuantity.ts";
import { changedSite } from "../site/changedSite.ts";
import { readSite } from "../site/readSite.ts";
import type { DatedEntry } from "../site/diaryField.ts";
import type { Site } from "../site/site.ts";
import type { RecordedStorm } from "../study/criteria.ts";
import { asBuiltWorks } from "./asBuiltWorks.ts";
import { dayOf, siteAsBuilt } from "./asBuilt.ts";
import { emptyingAfter, emptyingAsDrawn, emptyingAsFound, type Emptying } from "./emptying.ts";
import { diagnosed } from "./failedPit.ts";
import { failedPitAnswer } from "./failedPitWords.ts";
import { judgedFill, type FillTestResult } from "./fillTest.ts";
import { readPitLog } from "./pitLog.ts";
import { readFillTest } from "./readFillTest.ts";
import { lastingText } from "../text/hours.ts";

/** A day on which something was measured: how long the works of that day take to empty after the storm that is asked. */
export interface LifePoint {
  readonly date: string;
  /** since day one */
  readonly years: number;
  readonly by: "fill test" | "logger";
  readonly emptying: Emptying;
}

/** A day on which something was done or seen. */
export interface LifeEvent {
  readonly date: string;
  readonly years: number;
  readonly kind: "built" | "cleaned" | "lid" | "note" | "diagnosis" | "fill test" | "logger";
  /** in a sentence */
  readonly words: string;
}

/** The life of a pit, as its file's `asBuilt` and `diary` tell it. */
export interface PitLife {
  /** as drawn, and as the last entry has it built */
  readonly drawn: Site;
  readonly built: Site;
  /** the first day that the file tells of */
  readonly dayOne: string;
  /** in the order of their days */
  readonly points: readonly LifePoint[];
  readonly events: readonly LifeEvent[];
  /** of the works as drawn; null where the file has no storm whose rain was read */
  readonly asDrawn: Emptying | null;
  readonly answer: string;
}

/**
 * The life of a pit: every fill test and every season of its diary as the time that the works of that day take to empty after the storm
 * that is asked of them, each held against the works as they were built until then, and what was done and seen in between.
 *
 * @param file      the parsed site file
 * @param recorded  rain of the site's recorded storms, which stands in files
 * @returns         null where the file tells of no day
 * @throws SiteError   as `readSite`
 * @throws InputError  with all that is wrong with the dips of its days
 */
export function pitLife(file: unknown, recorded: readonly RecordedStorm[] = []): PitLife | null {
  const drawn = readSite(file);
  const days = [...drawn.asBuilt, ...drawn.diary].map(({ date }) => date).sort((a, b) => dayOf(a) - dayOf(b));
  const [dayOne, last] = [days[0], days.at(-1)];
  if (dayOne === undefined || last === undefined) return null;
  const since = (date: string): number => (dayOf(date) - dayOf(dayOne)) / YEAR;
  const points: LifePoint[] = [];
  const events: LifeEvent[] = drawn.asBuilt.map(({ date, about, ...parts }) => ({
    date, years: since(date), kind: "built", words: `Found as built: ${Object.keys(parts).join(", ")}${typeof about === "string" ? ` (${about})` : ""}.`,
  }));
  mapEntries(drawn, (entry) => {
    const { date } = entry;
    const add = (kind: LifeEvent["kind"], words: string): void => void events.push({ date, years: since(date), kind, words });
    const point = pointOf(entry, file, drawn, recorded);
    const emptying = point?.emptying ?? null;
    if (point !== null && emptying !== null) points.push({ date, years: since(date), by: point.by, emptying });
    if (point !== null) add(point.by, point.words);
    else if (entry["dips"] !== undefined) {
      const built = siteAsBuilt(file, date);
      add("diagnosis", failedPitAnswer(diagnosed(built, readPitLog(built, { ...dipsOf(entry), recorded }))));
    }
    if (typeof entry["cleaned"] === "string") add("cleaned", `Cleaned: ${entry["cleaned"]}.`);
    if (typeof entry["lid"] === "string") add("lid", `The lid was seen ${entry["lid"]}.`);
    if (typeof entry["note"] === "string") add("note", capital(/[.!?]$/.test(entry["note"]) ? entry["note"] : `${entry["note"]}.`));
  });
  const inTime = <T extends { readonly years: number }>(all: readonly T[]): T[] => all.toSorted((a, b) => a.years - b.years);
  const asDrawn = emptyingAsDrawn(drawn, recorded);
  const sorted = inTime(points);
  const answer = answerOf(dayOne, sorted, events.length, asDrawn);
  return { drawn, built: siteAsBuilt(file, last), dayOne, points: sorted, events: inTime(events), asDrawn, answer };
}

/** The soil that was measured as `found` of an entry of the diary has it: over what works count on, which may change later. */
export function foundSoil({ soil: { layers, factorOfSafety }, units }: Site, { value, band }: {
  readonly value: number; readonly band: { readonly low: number; readonly high: number };
}): Readonly<Record<string, unknown>> {
  const figure = (each: number): number => Number(each.toPrecision(3));
  const countedOn = writtenQuantity(layers[0]!.conductivity / factorOfSafety, "conductivity", units);
  return { soil: figure(value), low: figure(band.low), high: figure(band.high), countedOn };
}

/**
 * A site with what the fill tests of its diary tell of the soil beside their dips, as `found`, in which `decide` looks for it
 * (`measuredSoil`). Each is judged in the works as they were built until its day, the causes that it asks for beside the soil with it. One
 * that sets no bound on the soil, or fits none of the works that are tried, tells nothing to decide by.
 *
 * @param file   the parsed site file
 * @param site   as it was read
 * @returns      the site, and a sentence for each fill test that is not counted
 * @throws InputError  with all that is wrong with dips of the diary
 */
export function withFoundSoil(file: unknown, site: Site): { readonly site: Site; readonly notes: readonly string[] } {
  const notes: string[] = [];
  const diary = mapEntries(site, (entry) => {
    if (entry["found"] !== undefined || !isFillTest(entry)) return entry;
    const built = siteAsBuilt(file, entry.date);
    const result = judgedFill(built, readFillTest(built, dipsOf(entry)));
    const soil = soilToDecideBy(result);
    if (soil !== null) return { ...entry, found: foundSoil(built, soil) };
    notes.push(`The fill test of ${entry.date.slice(0, 10)} is not counted in what is decided: ${result.verdict.kind === "unexplained" ? "it fits none of the works that were tried" : "its dips set no bound on the soil"}.`);
    return entry;
  });
  return { site: diary.some((entry, i) => entry !== site.diary[i]) ? changedSite(site, { diary }) : site, notes };
}

/** The soil of a fill test with both ends of its band; null where the test tells nothing to decide by. */
export function soilToDecideBy({ numbers, verdict }: FillTestResult): Parameters<typeof foundSoil>[1] | null {
  const soil = numbers.find(({ name }) => name === "soil");
  if (soil === undefined || verdict.kind === "unexplained") return null;
  const { low, high } = soil.band;
  return low === null || high === null || low <= 0 ? null : { value: soil.value, band: { low, high } };
}

/** How long works took to empty, as `found` of an entry has it. */
export function foundEmptying({ storm, half, time, band: { low, high } }: Emptying): Readonly<Record<string, unknown>> | null {
  const hours = (each: number): string => `${Number((each / 3600).toPrecision(4))} h`;
  return time === null || low === null || high === null ? null
    : { storm, ...(half ? { half } : {}), time: hours(time), low: hours(low), high: hours(high) };
}

function readEmpties(read: OptionReader): Parameters<typeof emptyingAsFound>[1] {
  const storm = read.raw("storm");
  if (typeof storm !== "string") read.problem("storm", "the storm, in words");
  const long = { above: 0, most: YEAR } as const;
  const [half, time] = [read.flag("half", false), read.quantity("time", "time", long)];
  return { storm: String(storm), half, time, band: { low: read.quantity("low", "time", long), high: read.quantity("high", "time", long) } };
}

/** Something of each entry of a diary; what is wrong with any of them is told together. */
function mapEntries<T>({ diary }: Site, of: (entry: DatedEntry) => T): T[] {
  const problems: InputError["problems"][number][] = [];
  const made = diary.flatMap((entry, i) => {
    try {
      return [of(entry)];
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      error.problems.forEach((problem) => problems.push({ ...problem, where: problem.where.replace(/^(?:fillTest|failedPit|found)/, `diary[${i}]`) }));
      return [];
    }
  });
  if (problems.length > 0) throw new InputError("The diary cannot be used:", problems);
  return made;
}

/** Whether a day has dips of works that were filled, and not of works that fail. */
function isFillTest(entry: DatedEntry): boolean {
  return entry["dips"] !== undefined && OF_FAILURE.every((key) => entry[key] === undefined);
}

/** Keys of a day that are no option of what reads its dips. */
const OWN = ["date", "note", "cleaned", "lid", "found"];
const OF_FAILURE = ["storm", "hose", "seen", "began", "ended", "timesFrom", "loadError"];

function dipsOf(entry: DatedEntry): Record<string, unknown> {
  return Object.fromEntries(Object.entries(entry).filter(([key]) => !OWN.includes(key)));
}

/** A fill test or a season of a day; null for a day of neither. */
function pointOf(
  entry: DatedEntry, file: unknown, drawn: Site, recorded: readonly RecordedStorm[],
): { readonly by: LifePoint["by"]; readonly emptying: Emptying | null; readonly words: string } | null {
  const built = siteAsBuilt(file, entry.date);
  if (entry["found"] !== undefined) {
    const read = optionReader("found", entry["found"], "What was found cannot be used:");
    const rule = { above: 0, most: 1e6 };
    const [soil, low, high] = [read.number("soil", rule), read.number("low", { least: 0, most: 1e6 }), read.number("high", rule)];
    read.raw("countedOn");
    const empties = read.has("empties") ? readEmpties(read.child("empties")) : null;
    const first = read.raw("since");
    if (first !== undefined && (typeof first !== "string" || Number.isNaN(dayOf(first)))) read.problem("since", 'a day such as "2026-05-02"');
    if (!(low <= soil && soil <= high)) read.problem("soil", "a number between its low and its high end");
    read.done();
    const works = asBuiltWorks(built);
    // the soil's band has the doubt of the room in it already
    const deviation = Math.log(high / Math.max(low, 1e-6 * high)) / (2 * 1.96);
    const bySoil = emptyingAfter(built, drawn, {
      values: [Math.log(soil)], unknowns: [{ start: 0, size: 0.2, low: Math.log(1e-6), high: Math.log(1e6) }],
      covariance: [[deviation ** 2]], deviate: 1.96,
      counts: () => true, works: ([ln]) => works({ soil: Math.exp(ln!), floor: 1, waterTable: null, leak: null }), inSoil: null,
    }, recorded);
    // floor and table, which soil alone does not tell, are in the time that was found then
    const emptying = bySoil === null || empties === null ? bySoil : emptyingAsFound(bySoil, empties);
    const by = isFillTest(entry) ? "fill test" : "logger";
    return { by, emptying, words: `${by === "fill test" ? "A fill test" : `A season of a logger${typeof first === "string" ? ` since ${first}` : ""}`}: the soil takes in ${twoFigures(soil)} times (${twoFigures(low)} to ${twoFigures(high)}) what the design counts on.` };
  }
  if (!isFillTest(entry)) return null;
  const { emptying, verdict } = judgedFill(built, readFillTest(built, { ...dipsOf(entry), recorded }));
  return { by: "fill test", emptying, words: verdict.sentence };
}

function answerOf(dayOne: string, points: readonly LifePoint[], days: number, asDrawn: Emptying | null): string {
  const last = points.at(-1);
  if (last === undefined) return `Since ${dayOne.slice(0, 10)} the file tells of ${days} ${days === 1 ? "day" : "days"}, and of none on which the fall of the water was measured.`;
  const drawn = asDrawn === null || asDrawn.time === null ? "" : ` The drawing promised ${lastingText(asDrawn.time)}.`;
  const first = points[0]!;
  const before = points.length < 2 || first.emptying.time === null ? "" : ` At the first measurement, on ${first.date.slice(0, 10)}, it was ${lastingText(first.emptying.time)}.`;
  return `By the measurement of ${last.date.slice(0, 10)}: ${last.emptying.sentence}${before}${drawn}`;
}
