import { unitInBrackets } from "../rain/record/unitInBrackets.ts";
import { describe } from "../text/describe.ts";
import type { OptionReader, Rule } from "../text/optionReader.ts";
import type { Problem } from "../text/problem.ts";
import { readQuantity } from "../text/quantity.ts";
import { DAY_WORD, daysFor, onOneAxis, writtenTime, type TimeAxis, type WrittenTime } from "./writtenTime.ts";

/** One look at the water, in texts with units: a time, and the water by one of three ways. */
export interface Dip {
  /** `20 min` or `1h40` since the hose was opened, or since any moment where there was no hose; or by the clock, `8:15 AM` */
  readonly time: string;
  /** of water over the pit's floor */
  readonly depth?: string;
  /** or the tape: from a mark down to the water; `markLevel` says where the mark is */
  readonly down?: string;
  /** or the level of the water in the site's datum */
  readonly level?: string;
  /** where it was dipped; the pit where missing */
  readonly body?: string;
}

/**
 * Dips as a list, or as the text of a page of a notebook (see `readNotebook`), with the level of the mark where the tape hangs from one.
 */
export interface DipsGiven {
  readonly dips: readonly Dip[] | string;
  /** of the mark that `down` is measured from, in the site's datum */
  readonly markLevel?: string;
}

/** Dips as read: times rise [s], levels in the site's datum [m]. */
export interface Dips {
  readonly time: Float64Array;
  readonly level: Float64Array;
}

/** What stands on a page of dips besides them; times on the page's own axis [s]. */
export interface PageFacts {
  readonly from: TimesFrom;
  /** whether its clock shows by an hour of 24 or by its dates that it has no halves of the day */
  readonly shows24: boolean;
  readonly opened: number | null;
  readonly shut: number | null;
  /** of the hose [m3/s] */
  readonly flow: number | null;
  /** what was taken for granted in reading, in sentences */
  readonly notes: readonly string[];
}

/** Dips of the pit with what else stands on their page. */
export interface DipsPage extends Dips, PageFacts {}

/** A dip as it is written, on the page's own axis [s], the water [m] as its column has it. */
export interface DipRow {
  readonly column: DipColumn;
  readonly time: number;
  readonly water: number;
  /** as written, "" where it is not */
  readonly body: string;
  problem(key: string, expected: string): void;
}

/** All dips of a page, of whatever body. */
export interface DipRows extends PageFacts {
  readonly rows: readonly DipRow[];
  /** "down" where any dip hangs from a mark */
  readonly column: DipColumn;
  /** level of the mark [m] where the page tells it */
  readonly mark: number | null;
}

/**
 * Reads the keys `dips` and `markLevel` of an options object. What is wrong goes to the reader, all of it; what could not be
 * read is NaN until its `done` throws.
 *
 * @param floor   of the pit, from which depths are measured [m]
 * @param ground  no water stands above it [m]
 */
export function readDips(read: OptionReader, floor: number, ground: number): DipsPage {
  const page = readDipRows(read);
  const { rows, column } = page;
  rows.filter(({ body }) => !PIT.test(body)).forEach((row) => row.problem("body", 'a dip of the pit; of works that fail, beside "storm" or "hose", box and trench are dipped too'));
  const needsMark = column === "down" && page.mark === null;
  const mark = needsMark || read.has("markLevel") ? read.quantity("markLevel", "length") : (page.mark ?? NaN);
  const zero: Readonly<Record<DipColumn, (water: number) => number>> = {
    depth: (water) => floor + water, down: (water) => mark - water, level: (water) => water,
  };
  const time = Float64Array.from(rows, (row) => row.time);
  const level = Float64Array.from(rows, (row) => zero[row.column](row.water));
  rows.forEach((row, i) => {
    const [below, above] = [level[i]! < floor - SLACK, level[i]! > ground + SLACK];
    if (below || above) row.problem(row.column, `water ${below ? "no deeper than the pit's floor" : "no higher than the ground"}`);
    if (i > 0 && time[i]! <= time[i - 1]!) row.problem("time", "a time after the one before it");
    if (time[i]! - time[0]! > LONGEST) row.problem("time", "a time within 50 years of the first");
  });
  const { from, shows24, opened, shut, flow, notes } = page;
  return { time, level: level.map((water) => Math.max(floor, water)), from, shows24, opened, shut, flow, notes };
}

/** What a person calls the pit, or leaves out. */
export const PIT: RegExp = /^(?:the )?(?:pit|bank|chambers?|chamberBank)?$/i;

/** A tape that touches the floor may read so much past it [m]. */
const SLACK = 0.01;

/** 50 years: as long as anybody looks at a pit [s]. */
const LONGEST = 1.6e9;
const LENGTH: Rule = { least: 0, most: 100 };

/** Reads the key `dips`, a list or a page; what could not be read is NaN until the reader's `done` throws. */
export function readDipRows(read: OptionReader): DipRows {
  const given = read.raw("dips");
  return typeof given === "string" ? notebookPage(read, given) : listedPage(read);
}

function listedPage(read: OptionReader): DipRows {
  const given = read.children("dips").map((row) => {
    const columns = (["depth", "down", "level"] as const).filter((key) => row.has(key));
    if (columns.length > 1) row.problem(columns[1]!, `no ${columns[1]} beside a ${columns[0]}`);
    const column = columns[0] ?? "depth";
    const text = row.raw("time");
    const written = typeof text === "string" ? writtenTime(text, "", false) : null;
    if (written === null) row.problem("time", A_TIME);
    const where = row.raw("body");
    if (where !== undefined && typeof where !== "string") row.problem("body", "the name of a body, a text");
    return {
      column, written, body: typeof where === "string" ? where : "", water: row.quantity(column, "length", column === "level" ? {} : LENGTH),
      problem: (key: string, expected: string): void => row.problem(key, expected),
    };
  });
  const { axis, kind, shows24, faults, jumps } = onOneAxis(given.map(({ written }) => written));
  faults.forEach(({ at, expected }) => given[at]!.problem("time", expected));
  return {
    rows: given.map((row, i) => ({ ...row, time: axis[i]! })), from: kind === "clock" ? "clock" : "first", shows24,
    column: given.some(({ column }) => column === "down") ? "down" : "depth", opened: null, shut: null, flow: null, mark: null,
    notes: jumps.map(({ at, days }) => `The weekday of dip ${at + 1} is taken as ${days} days after the day of the one before it.`),
  };
}

function notebookPage(read: OptionReader, text: string): DipRows {
  const where = `${read.where}.dips`;
  const problems: Problem[] = [];
  const page = readNotebook(text, where, problems);
  problems.forEach((problem) => read.problem(problem.where.slice(read.where.length + 1), problem.expected, problem.got));
  return {
    ...page,
    rows: page.rows.map(({ line, time, water, body, cells }) => ({
      column: page.column, time, water, body,
      problem: (key, expected) => read.problem(`dips line ${line}, ${key}`, expected, describe(key === "body" ? body : cells[key === "time" ? 0 : 1])),
    })),
  };
}

/** How a dip says where the water stands: over the floor, down from a mark, or as a level of the datum. */
type DipColumn = "depth" | "down" | "level";

/** What the times of a page count from; "first" where the page does not say, which is the hose's opening where there is a hose. */
type TimesFrom = "clock" | "opening" | "shutting" | "first";

/** A page of a field notebook, read as far as it goes by itself. */
export interface NotebookPage {
  readonly column: DipColumn;
  readonly from: TimesFrom;
  /** whether its clock shows that it has no halves of the day */
  readonly shows24: boolean;
  /** `time` [s] on the page's own axis; `water` [m] as `column` says; `body` as it is written, "" where it is not */
  readonly rows: readonly { readonly line: number; readonly time: number; readonly water: number; readonly body: string;
    readonly cells: readonly [time: string, water: string] }[];
  /** of the hose, on the same axis [s], where the page has them */
  readonly opened: number | null;
  readonly shut: number | null;
  /** [m3/s] */
  readonly flow: number | null;
  /** level of the mark that the tape hangs from [m] */
  readonly mark: number | null;
  /** what was taken for granted in reading, in sentences */
  readonly notes: readonly string[];
}

/**
 * Reads dips as people write them down. A line is a dip: a time and the water, in any order where a first line names the columns, parted
 * by tabs, semicolons, bars, commas or blanks. Without such a line a dip is a time and the depth over the floor.
 *
 * Columns go by their words: `time`, `clock`, `since hose on`, `minutes since shut`; `depth`, `water`; `tape`, `down`, `depth to water`
 * (from a mark down to the water); `level`; `where` (the body). Units stand with the figures, in the heading, `depth (in)`, or in a line
 * right under it. Of other
 * columns nothing is read. Times: see `writtenTime`; a decimal comma counts where no comma parts the cells.
 *
 * Lines that tell of the hose or the mark are read as such: `hose on 8:05`, `hose off 9:20 AM`, `hose 12 gal/min`, `5 gal bucket in 25 s`,
 * `tape hangs from 98.20 ft`; a line `date 2026-06-14` gives its day. Two lines on one of these are refused. Of lines that begin with # or
 * as a remark, `remark: …`, and of a title nothing is made; `notes` lists them.
 *
 * @param where     the place of the text, for a problem
 * @param problems  gets what is wrong, each with its line
 */
export function readNotebook(text: string, where: string, problems: Problem[]): NotebookPage {
  const written = text.replace(/^\ufeff/, "").split(/\r?\n/).map((each, i) => ({ line: i + 1, text: each.trim() })).filter((each) => each.text !== "");
  const lines = written.filter((each) => !isRemark(each.text) && !DATE_OF_PAGE.test(each.text));
  const long = lines.find((each) => each.text.length > LONGEST_LINE);
  if (long !== undefined) {
    problems.push({ where: `${where} line ${long.line}`, expected: `a line of ${LONGEST_LINE} letters at most`, got: `${long.text.length}` });
    return { column: "depth", from: "first", shows24: false, rows: [], notes: [], opened: null, shut: null, flow: null, mark: null };
  }
  const facts: Facts = { opened: null, shut: null, flow: null, mark: null, passedOver: written.filter((each) => isRemark(each.text)) };
  const left = withDays(lines).filter((each, i) => {
    const alone: Facts = { opened: null, shut: null, flow: null, mark: null, passedOver: [] };
    if (!takesFact(each.text, each.line, alone, i)) return true;
    for (const title of alone.passedOver) facts.passedOver.push(title);
    for (const [matter, name] of MATTERS) {
      const [before, now] = [facts[matter], alone[matter]];
      if (before !== null && now !== null) {
        const both = [before.line, now.line].map((line) => describe(written.find((other) => other.line === line)?.text)).join(" and ");
        problems.push({ where: `${where} lines ${before.line} and ${now.line}`, expected: `one line that tells of ${name} (a remark begins with "remark:")`, got: both });
      }
    }
    facts.opened ??= alone.opened;
    facts.shut ??= alone.shut;
    facts.flow ??= alone.flow;
    facts.mark ??= alone.mark;
    return false;
  });
  const separator = separatorOfPage(left.map((each) => each.text));
  const parted = left.map((each) => ({ line: each.line, day: each.day, cells: cellsOf(each.text, separator) }));
  const headAt = parted.findIndex(({ cells }) => isHeading(cells));
  const blank: NotebookPage = { column: "depth", from: "first", shows24: false, rows: [], notes: [], opened: null, shut: null, flow: facts.flow?.value ?? null, mark: facts.mark?.value ?? null };
  if (parted.length === 0) {
    problems.push({ where, expected: "a line for each dip", got: "none" });
    return blank;
  }
  const heading = headAt < 0 ? null : columnsOf(parted[headAt]!.cells, facts.mark !== null, `${where} line ${parted[headAt]!.line}`, problems);
  if (headAt >= 0 && heading === null) return blank;
  const units = heading === null ? null : unitRow(parted[headAt + 1]?.cells ?? []);
  const columns = heading === null ? BARE : units === null ? heading : withUnits(heading, units);
  for (const { line } of parted.slice(0, Math.max(0, headAt))) facts.passedOver.push({ line, text: written.find((each) => each.line === line)?.text ?? "" });
  const data = parted.slice(headAt + (units === null ? 1 : 2)).filter(({ cells, line }) => {
    if (cells.some((cell) => /\d/.test(cell)) || cells.some((cell) => /^(at once|noon|midnight)$/i.test(cell))) return true;
    if (headAt >= 0 && cells.some((cell) => cell.length > 0)) problems.push({ where: `${where} line ${line}`, expected: "a dip: a time and the water", got: describe(cells.join(" ")) });
    else if (headAt < 0) facts.passedOver.push({ line, text: cells.join(" ") });
    return false;
  });
  const asSpan = columns.from === "opening" || columns.from === "shutting" || columns.elapsed || startsAtNought(data.map(({ cells }) => cells[columns.time.at] ?? ""));
  const timeCells = data.map(({ cells, day }) => timeWithDay(cells[columns.time.at] ?? "", columns.day < 0 ? "" : cells[columns.day] ?? "", day));
  const times = data.map(({ line }, i): WrittenTime | null => {
    const cell = timeCells[i]!;
    const time = writtenTime(cell, columns.time.unit, asSpan);
    if (time === null) problems.push({ where: `${where} line ${line}, time`, expected: A_TIME, got: describe(cell === "" ? undefined : cell) });
    return time;
  });
  const opening = facts.opened !== null && countsFromOpening(facts.opened.time, times) ? facts.opened : null;
  const inOrder = opening === null ? onOneAxis(times) : withoutFirst(onOneAxis([opening.time, ...times]));
  for (const { at, expected } of inOrder.faults) {
    const [line, got] = at < 0 ? [opening!.line, opening!.written] : [data[at]!.line, timeCells[at]];
    problems.push({ where: `${where} line ${line}, time`, expected, got: describe(got) });
  }
  const rows = data.map(({ cells, line }, i) => {
    const [timeCell, waterCell] = [timeCells[i]!, cells[columns.water.at] ?? ""];
    const asWritten = withUnit(waterCell, columns.water.unit);
    const written = plainNumber(asWritten, separator);
    const reading = readQuantity(written, "length");
    if (!("value" in reading)) problems.push({ where: `${where} line ${line}, ${columns.column}`, expected: reading.expected, got: waterCell === "" ? "nothing" : reading.got.replaceAll(written, asWritten) });
    return {
      line, time: inOrder.axis[i]!, water: "value" in reading ? reading.value : NaN,
      body: columns.body < 0 ? "" : (cells[columns.body] ?? ""), cells: [timeCell, waterCell] as const,
    };
  });
  const hose = hoseTimes(facts, inOrder, times.some((time) => time?.kind === "clock" && time.dated), where, problems);
  const passed = facts.passedOver.sort((a, b) => a.line - b.line).map((each) => `line ${each.line} “${each.text}”`);
  const notes = passed.length === 0 ? [] : [`Of the page these lines are passed over: ${passed.join(", ")}.`];
  const jumps = inOrder.jumps.map(({ at, days }) => `“${timeCells[at]}” in line ${data[at]?.line} is taken as ${days} days after the day of the line before it.`);
  return {
    notes: [...jumps, ...notes], column: columns.column, from: inOrder.kind === "clock" ? "clock" : columns.from, shows24: inOrder.shows24, rows,
    ...hose, flow: facts.flow?.value ?? null, mark: facts.mark?.value ?? null,
  };
}

const DATE = String.raw`\d{4}-\d\d-\d\d`;

/** Longer than anybody writes beside a dip; what is looked for in a line is looked for at every letter of it. */
const LONGEST_LINE = 200;

interface Told {
  readonly line: number;
  readonly written: string;
  readonly time: WrittenTime;
}

/** A line that gives the day of a page. */
const DATE_OF_PAGE = new RegExp(String.raw`^date\s*:?\s*(${DATE})$`, "i");

/**
 * The day that a page of a notebook was written on, as `2026-06-14`: a line `date 2026-06-14`, or the date beside its first dip.
 *
 * @returns  null where it has neither; the two where they differ
 */
export function dayOfPage(text: string): string | null | readonly [line: string, dip: string] {
  const lines = text.replace(/^\ufeff/, "").split(/\r?\n/).map((each) => each.trim());
  const told = lines.flatMap((each) => DATE_OF_PAGE.exec(each)?.[1] ?? [])[0] ?? null;
  const others = lines.filter((each) => !isRemark(each) && !DATE_OF_PAGE.test(each));
  const first = others.flatMap((each) => FIRST_DATE.exec(each)?.[1] ?? [])[0] ?? null;
  return told !== null && first !== null && told !== first ? [told, first] : told ?? first;
}

const FIRST_DATE = new RegExp(String.raw`^[^\d]{0,24}(${DATE})\b`);

interface ToldFigure {
  readonly line: number;
  readonly value: number;
}

/** What a page tells besides dips. */
interface Facts {
  opened: Told | null;
  shut: Told | null;
  flow: ToldFigure | null;
  mark: ToldFigure | null;
  /** lines of which nothing is made */
  readonly passedOver: { readonly line: number; readonly text: string }[];
}

const MATTERS = [["opened", "the hose's opening"], ["shut", "the hose's shutting"], ["flow", "the hose's flow"], ["mark", "the mark"]] as const;

/** A line that begins as a remark is one, whatever it says; a heading may begin so, and has other columns behind. */
function isRemark(text: string): boolean {
  if (text.startsWith("#") || /^(?:remarks?|notes?|comments?|n\.?b\.?)\s*[:.–-]/i.test(text)) return true;
  return /^(?:remarks?|notes?|comments?|nb) \S/i.test(text) && !/[,;|\t]|\s{2}/.test(text) && !/\b(?:time|clock)\b/i.test(text);
}

const A_TIME = 'a time such as "8:15 AM", "Tue 16:30", "day 2 7:30", "2026-06-14 08:15", "1h40" or "20 min"';

interface Line {
  readonly line: number;
  readonly text: string;
  /** as a line of its own tells it for those below, "" where none does */
  readonly day: string;
}

/** Lines with the day that stands alone in a line above them. */
function withDays(lines: readonly Omit<Line, "day">[]): Line[] {
  let day = "";
  return lines.flatMap((each): Line[] => {
    const alone = DAY_ALONE.exec(each.text);
    if (alone !== null) day = alone[1]!;
    const own = day;
    // the day after the one before is so for the first line below it alone
    if (alone === null && /^next/i.test(day)) day = "";
    return alone === null ? [{ ...each, day: own }] : [];
  });
}

const DAY_ALONE = new RegExp(String.raw`^(${DAY_WORD}|${DATE})[.,:]?$`, "i");
const STARTS_WITH_DAY = new RegExp(String.raw`^(?:${DAY_WORD}|${DATE})[\s.,:T]`, "i");

/** A time with the day that its line has in another column, or that stands above; a day of its own goes before that. */
function timeWithDay(time: string, column: string, above: string): string {
  const day = /^\d{1,2}$/.test(column) ? `day ${column}` : column;
  if (time === "" || (day === "" && (above === "" || STARTS_WITH_DAY.test(time)))) return time;
  return `${day === "" ? above : day} ${time}`;
}

/** Whether the days are counted from the hose's opening, which has one, as the first dip has not. */
function countsFromOpening(opened: WrittenTime, times: readonly (WrittenTime | null)[]): boolean {
  const first = times.find((time) => time !== null);
  const hasDay = (time: WrittenTime): boolean => time.kind === "clock" && (time.day !== null || time.weekday !== null);
  return first?.kind === "clock" && !first.dated && hasDay(opened) && !hasDay(first);
}

function withoutFirst({ axis, faults, jumps, ...others }: TimeAxis): TimeAxis {
  const moved = <Each extends { readonly at: number }>(each: Each): Each => ({ ...each, at: each.at - 1 });
  return { ...others, axis: axis.slice(1), faults: faults.map(moved), jumps: jumps.map(moved) };
}

/** The hose's times on the axis of the dips: opened at the moment nearest to the first of them, shut after that. */
function hoseTimes(
  { opened, shut }: { readonly opened: Told | null; readonly shut: Told | null }, { axis, kind, shows24, known }: TimeAxis,
    isDated: boolean, where: string, problems: Problem[],
): { readonly opened: number | null; readonly shut: number | null } {
  const first = axis.find((time) => !Number.isNaN(time)) ?? NaN;
  const placed = (told: Told | null, fits: (moment: number) => number): number | null => {
    if (told === null) return null;
    if (told.time.kind === "span") return told.time.time;
    const refused = (expected: string): null => {
      problems.push({ where: `${where} line ${told.line}`, expected, got: describe(told.written) });
      return null;
    };
    if (kind === "span") return refused("dips by the clock too, where the hose is told by the clock");
    const { time, half, dated } = told.time;
    const [fault] = onOneAxis([told.time]).faults;
    if (fault !== undefined) return refused(fault.expected);
    if (dated) return isDated ? time : refused("an hour without a date, as the dips have none");
    if (Number.isNaN(first)) return null;
    const midnights = daysFor(told.time, first, isDated ? { day: 0, weekday: 3 } : known).map((day) => day * DAY + time);
    if (midnights.length === 0) return refused("a day that the dips are counted by too: their weekdays, or day 1, day 2");
    const moments = half === null && !shows24 ? midnights.flatMap((moment) => [moment - DAY / 2, moment, moment + DAY / 2]) : midnights;
    const best = moments.reduce((found, moment) => (fits(moment) < fits(found) ? moment : found));
    return fits(best) === Infinity ? refused("an hour after the hose was opened") : best;
  };
  // opened somewhat before the first dip rather than after it
  const on = placed(opened, (moment) => (moment <= first ? first - moment : 2 * (moment - first)));
  const off = placed(shut, (moment) => (on === null ? Math.abs(moment - first) : moment > on ? moment - on : Infinity));
  return { opened: on, shut: off };
}

const DAY = 86_400;

/** `0:00, 0:15, 1:00` counts from something, whatever its heading; so does what goes on over 24. */
function startsAtNought(cells: readonly string[]): boolean {
  return /^0{1,2}:00$/.test(cells[0] ?? "") || cells.some((cell) => /^(2[5-9]|[3-9]\d|\d{3}):\d\d$/.test(cell));
}

const BY_DAY = String.raw`(?:${DAY_WORD}[.,:]? )?`;
const TIME_IN = String.raw`(${BY_DAY}(?:\d{1,2}[:.h]\d{2}(?: ?[ap]\.?m\.?)?|noon|midnight)|${DATE}[ T]\d{1,2}:\d\d(?: ?[ap]\.?m\.?)?|\d{4}(?=$|\s))`;
const OPENED = new RegExp(String.raw`\b(?:hose|tap|water|fill(?:ing)?)\b[^\d]{0,24}\b(?:on|open(?:ed)?|start(?:ed)?|began|begun)\b[^\d]{0,12}?${TIME_IN}|^${TIME_IN}[^\d]{1,12}\b(?:hose|tap|water)\b[^\d]{0,12}\b(?:on|open(?:ed)?|start(?:ed)?)\b`, "i");
const SHUT = new RegExp(String.raw`\b(?:hose|tap|water|fill(?:ing)?)\b[^\d]{0,24}\b(?:off|shut|closed|stop(?:ped)?|end(?:ed)?)\b[^\d]{0,12}?${TIME_IN}|^${TIME_IN}[^\d]{1,12}\b(?:hose|tap|water)\b[^\d]{0,12}\b(?:off|shut|closed|stop(?:ped)?)\b`, "i");
const BUCKET = /\b(\d[\d.,]* ?(?:gal(?:lons?)?|L|l|lit(?:er|re)s?))\b.{0,20}?\bin\b ?(\d[\d.,]* ?(?:s|secs?|seconds?|min|minutes?))\b/;
const FLOW = /\b(?:hose|tap|flow)\b[^\d]{0,24}(\d[\d.,]* ?(?:gpm|cfs|(?:gal|L|l|m\^?3|cu ft)\s?(?:\/|per)\s?(?:min|minute|s|sec|h|hr|hour)))/i;
const MARK = /\b(?:mark|tape|top of pipe|rim|hangs|reference|datum|measured|from)\b[^\d]{0,40}?(-?\d[\d.,]*(?: \d+\/\d+)? ?(?:m|mm|cm|ft|in|'|")(?: ?\d[\d ./]* ?(?:in|"))?)(?=$|[\s,;.)])/i;

const STARTS_WITH_TIME = new RegExp(String.raw`^\W*(?:${BY_DAY}(?:\d{1,2}[:.h]\d{2}|\d{1,2} ?[ap]\.?m\b|noon|midnight)|${DATE}|\d+ ?(?:min|h|s)\b)`, "i");

/** Whether a line tells of the hose or the mark and of no dip; what it tells goes into `facts`. A range `8:05 to 9:20` gives both. */
function takesFact(text: string, line: number, facts: Facts, before: number): boolean {
  const plain = text.replace(/[;\t|"]+/g, " ").replace(/\s+/g, " ");
  const tell = (match: RegExpExecArray | null): Told | null => {
    const written = match?.[1] ?? match?.[2];
    const time = written === undefined ? null : writtenTime(written.replace(/(\d)h(\d)/, "$1:$2"), "", false);
    return time === null ? null : { line, written: written!, time };
  };
  let found = false;
  const range = new RegExp(String.raw`\b(?:hose|tap|fill(?:ed|ing)?)\b.{0,40}?\b${TIME_IN} ?(?:to|until|till|-|–) ?${TIME_IN}`, "i").exec(plain);
  if (range !== null) {
    const [on, off] = [1, 2].map((k) => writtenTime(range[k]!.replace(/(\d)h(\d)/, "$1:$2"), "", false));
    if (on && off) {
      facts.opened = { line, written: range[1]!, time: on };
      facts.shut = { line, written: range[2]!, time: off };
      found = true;
    }
  }
  const [opened, shut] = range === null ? [tell(OPENED.exec(plain)), tell(SHUT.exec(plain))] : [null, null];
  if (opened !== null) facts.opened = opened;
  if (shut !== null) facts.shut = shut;
  const bucket = BUCKET.exec(plain);
  if (bucket !== null && /hose|bucket|tap|flow|pail/i.test(plain)) {
    const [volume, time] = [readQuantity(bucket[1]!.replace(",", "."), "volume"), readQuantity(bucket[2]!.replace(",", "."), "time")];
    if ("value" in volume && "value" in time && time.value > 0) {
      facts.flow = { line, value: volume.value / time.value };
      found = true;
    }
  } else {
    const flow = FLOW.exec(plain);
    const reading = flow === null ? null : readQuantity(flow[1]!.replace(/ per /, "/").replace(",", "."), "flow");
    if (reading !== null && "value" in reading) {
      facts.flow = { line, value: reading.value };
      found = true;
    }
  }
  found ||= opened !== null || shut !== null;
  // a line with a time of its own is a dip, whatever else it says; so is a heading
  if (!found && !STARTS_WITH_TIME.test(plain) && !/^(?:time|clock|since|elapsed)\b/i.test(plain)) {
    const mark = MARK.exec(plain);
    const reading = mark === null || /\b(?:time|depth)\b/i.test(plain) ? null : readQuantity(mark[1]!.replace(/(\d),(\d)/, "$1.$2").trim(), "length");
    if (reading !== null && "value" in reading) {
      facts.mark = { line, value: reading.value };
      return true;
    }
    // words without a figure before the first dip: a title, a name
    const isTitle = before === 0 && !/\d/.test(plain) && !isHeading([plain]) && !isHeading(blankCells(text)) && !/[,;\t|]/.test(text);
    if (isTitle) facts.passedOver.push({ line, text });
    return isTitle;
  }
  return found;
}

type PageSeparator = "\t" | ";" | "|" | "," | " ";

/**
 * The first of tab, semicolon and bar that most lines have; else the comma where heading and most lines have one, or lines have it other
 * than inside numbers; else blanks.
 */
function separatorOfPage(lines: readonly string[]): PageSeparator {
  const most = (has: (line: string) => boolean): boolean => lines.filter(has).length * 2 > lines.length;
  for (const each of ["\t", ";", "|"] as const) if (most((line) => line.includes(each))) return each;
  const heading = lines[0] ?? "";
  if (heading.includes(",") && TIME_WORD.test(heading) && !/\d/.test(heading) && most((line) => line.includes(","))) return ",";
  if (most((line) => /,/.test(line.replace(/(^|[\s"])\d+,\d+(?=\s*(?:m|mm|cm|ft|in)?\b|"|$)/g, "$1")))) return ",";
  return " ";
}

/** A quote begins a quoted cell only where the cell does: after a figure it is the mark of inches. */
function cellsOf(line: string, separator: PageSeparator): string[] {
  if (separator === " ") return blankCells(line);
  const cells: string[] = [];
  for (let rest: string | null = line.replace(/^\|/, "").replace(/\|$/, ""); rest !== null;) {
    const quoted = QUOTED.exec(rest);
    const after: string = quoted === null ? rest : rest.slice(quoted[0].length);
    const end = after.indexOf(separator);
    cells.push(quoted === null ? (end < 0 ? after : after.slice(0, end)).trim() : quoted[1]!.replace(/""/g, '"'));
    rest = end < 0 ? null : after.slice(end + 1);
  }
  return cells;
}

// Plain runs and doubled quotes in turn, so that a cell without its closing quote is gone over once; a tab round it may part cells.
const QUOTED = /^ *"([^"]*(?:""[^"]*)*)" */;

const ONE_COLUMN = /^(?:time|clock|watch|date|day|weekday|tape|down|dtw|depth|water|level|where|body|place|notes?|remarks?|who)$/i;

/** Two blanks or more part cells where there are any; else a time at the line's beginning is one, the rest the other. */
function blankCells(line: string): string[] {
  const wide = line.split(/\s{2,}/).map((cell) => cell.trim());
  if (wide.length > 1) return wide;
  // a heading of single words may have single blanks between them
  const words = line.split(" ");
  if (words.length > 1 && words.every((word) => ONE_COLUMN.test(word)) && isHeading(words)) return words;
  const start = STARTING_TIME.exec(line);
  return start === null ? [line] : [start[1]!, start[2]!.replace(/^[-–=:]\s*/, "")];
}

const STARTING_TIME = new RegExp(
  String.raw`^((?:${BY_DAY}(?:\d{1,2}[:.h]\d{2}(?::\d{2})?(?: ?[ap]\.?m\.?)?|\d{1,2} ?[ap]\.?m\.?|noon|midnight))|\d[\d.,]* ?(?:min|minutes?|h|hrs?|hours?|s|sec)`
  + String.raw`(?: \d+ ?(?:min|m|s))?|(?:[a-z]{3,9}[.,]? )?${DATE}[ T]\d{1,2}:\d\d(?: ?[ap]\.?m\.?)?|at once|\d+)[\s:,-]+(.*)$`, "i");

interface Place {
  readonly at: number;
  readonly unit: string;
}

interface Columns {
  readonly time: Place;
  readonly water: Place;
  readonly column: DipColumn;
  readonly from: TimesFrom;
  readonly elapsed: boolean;
  readonly body: number;
  /** index of the column of days, -1 without one */
  readonly day: number;
}

const BARE: Columns = { time: { at: 0, unit: "" }, water: { at: 1, unit: "" }, column: "depth", from: "first", elapsed: false, body: -1, day: -1 };

const TIME_WORD = /^(?:time|clock|watch|hour|when|elapsed|minutes?|mins?|hours?|hrs?|t|since|after|date)\b/i;
const DOWN_WORD = /\b(?:tape|down|to (?:the )?water|below|from (?:the )?(?:mark|top|rim|lid|cover)|dtw|reading)\b/i;
const DEPTH_WORD = /\b(?:depth|water|height|stage|stands|dip|deep)\b/i;
const LEVEL_WORD = /\b(?:level|elevation|datum|elev)\b/i;
const BODY_WORD = /^(?:where|body|place|in)$/i;

function isHeading(cells: readonly string[]): boolean {
  return cells.some((cell) => TIME_WORD.test(partedHead(cell).words)) && !cells.some((cell) => /^\d/.test(cell.trim()));
}

/** `Depth (in)`, `depth [in]`, `depth_in`, `depth, in` and `depth in inches` are words and a unit. */
function partedHead(cell: string): { readonly words: string; readonly unit: string } {
  const bracketed = unitInBrackets(cell);
  if (bracketed !== null && isUnit(bracketed.unit)) return { words: bracketed.word, unit: bracketed.unit };
  const tail = /^(.*?)(?:[_,]\s*|\s+in\s+|\s+)([a-z]+)$/i.exec(cell);
  if (tail !== null && isUnit(tail[2]!)) return { words: tail[1]!, unit: tail[2]! };
  if (isUnit(cell)) return { words: cell, unit: cell.toLowerCase() };
  return { words: cell, unit: "" };
}

/** A line under the heading that names the units, `(min) (cm)`; null where the line is no such line. */
function unitRow(cells: readonly string[]): string[] | null {
  const bare = cells.map((cell) => cell.replace(/^[([]\s*|\s*[)\]]$/g, ""));
  return bare.some((cell) => cell !== "") && bare.every((cell) => cell === "" || isUnit(cell)) ? bare : null;
}

function withUnits({ time, water, ...others }: Columns, units: readonly string[]): Columns {
  const named = ({ at, unit }: Place): Place => ({ at, unit: (units[at] ?? "") === "" ? unit : units[at]! });
  return { ...others, time: named(time), water: named(water) };
}

function isUnit(text: string): boolean {
  return "value" in readQuantity(`1 ${text}`, "length") || "value" in readQuantity(`1 ${text}`, "time");
}

function columnsOf(cells: readonly string[], hasMark: boolean, where: string, problems: Problem[]): Columns | null {
  const heads = cells.map(partedHead);
  const isTime = ({ words }: { readonly words: string }): boolean => TIME_WORD.test(words);
  const dayAt = heads.findIndex(({ words }) => /^(?:day|weekday|date)$/i.test(words));
  const besideDay = heads.findIndex((head, i) => i !== dayAt && isTime(head));
  const timeAt = besideDay < 0 ? dayAt : besideDay;
  const kinds = heads.map(({ words }, i): DipColumn | null => {
    if (i === timeAt || i === dayAt || /^(?:note|remark|comment|temp|flow|rain)|\b(?:no\.?|number|#)$/i.test(words)) return null;
    if (/\breading\b/i.test(words)) return hasMark ? "down" : "depth";
    if (DOWN_WORD.test(words)) return "down";
    if (LEVEL_WORD.test(words) && !/\bover|above (?:the )?floor\b/i.test(words)) return "level";
    return DEPTH_WORD.test(words) || LEVEL_WORD.test(words) ? "depth" : null;
  });
  const found = kinds.flatMap((kind, at) => (kind === null ? [] : [{ kind, at }]));
  if (found.length !== 1) {
    const got = found.length === 0 ? `columns ${cells.map((cell) => `"${cell}"`).join(", ")}` : found.map(({ at }) => cells[at]).join(" and ");
    problems.push({ where, expected: "one column of depth, down or level beside time", got });
    return null;
  }
  const words = heads[timeAt]!.words;
  const since = /\b(?:since|after)\b/i.test(words);
  const from: TimesFrom = !since ? "first" : /\b(?:on|open\w*|start\w*|began)\b/i.test(words) ? "opening"
    : /\b(?:off|shut\w*|clos\w*|stop\w*|end\w*|full)\b/i.test(words) ? "shutting" : "first";
  return {
    time: { at: timeAt, unit: heads[timeAt]!.unit === "" ? (/^(?:min|minute|hr|hour)s?\b/i.exec(words)?.[0].toLowerCase() ?? "") : heads[timeAt]!.unit }, water: { at: found[0]!.at, unit: heads[found[0]!.at]!.unit }, column: found[0]!.kind,
    from, elapsed: since || /^elapsed/i.test(words), body: heads.findIndex(({ words: each }) => BODY_WORD.test(each)),
    day: besideDay < 0 ? -1 : dayAt,
  };
}

/** A figure that has its own unit keeps it; letters and the marks of feet and inches say so. */
function withUnit(cell: string, unit: string): string {
  const bare = cell.replace(/^(?:approx\.?|about|ca\.?|~)\s*/i, "");
  return unit === "" || /[a-z'"′″’”]/i.test(bare) ? bare : `${bare} ${unit}`;
}

function plainNumber(text: string, separator: PageSeparator): string {
  return separator === "," && !/^\d+,\d+/.test(text) ? text : text.replace(/(\d),(\d)/, "$1.$2");
}
