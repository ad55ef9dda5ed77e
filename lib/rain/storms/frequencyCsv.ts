import { InputError, type Problem } from "../../text/problem.ts";
import type { RainfallTable } from "./tableDepth.ts";

/** A table of rain as the US precipitation-frequency server gives it, and the ends of its band where the file has them. */
export interface FrequencyTables {
  readonly table: RainfallTable;
  readonly upper: RainfallTable | null;
  readonly lower: RainfallTable | null;
}

/**
 * Reads the CSV of the US precipitation-frequency server as downloaded: lines that say what it is, then a table (or three, with the ends
 * of the band) of durations down and return periods across.
 *
 *   Point precipitation frequency estimates (inches)
 *   NOAA Atlas 14 Volume 11 Version 2
 *   Time series type: Partial duration
 *   Location name (ESRI Maps): ...
 *   by duration for ARI (years):, 1,2,5,10
 *   5-min:, 0.421,0.489,0.601,0.693
 *
 * Depths or intensities, inches or millimetres. Return periods are years, or chances such as 1/10 a year. Source, place and the date at its
 * end go with the table.
 *
 * @throws InputError  with all that is not there
 * @source  open government data of the US National Weather Service; the form as in stored copies of 2026, that of the band's ends and of
 *          chances from memory
 */
export function frequencyCsv(text: string): FrequencyTables {
  const lines = text.replace(/^\uFEFF/, "").split(/\r?\n/).map((line) => line.trim());
  const problems: Problem[] = [];
  const unit = unitOf(lines, problems);
  const series = /partial/i.test(saying(lines, "time series type") ?? "") ? "partial-duration" as const
    : /annual/i.test(saying(lines, "time series type") ?? "") ? "annual-maximum" as const : null;
  if (series === null) problems.push({ where: "time series type", expected: '"Partial duration" or "Annual maximum"', got: saying(lines, "time series type") ?? "nothing", code: "syntax" });
  const heads = lines.flatMap((line, i) => (/^by duration for/i.test(line) ? [i] : []));
  if (heads.length === 0) problems.push({ where: "table", expected: 'a line "by duration for ARI (years):, 1,2,5, …"', got: "none", code: "syntax" });
  const about = aboutOf(lines);
  const tables = heads.map((at): { readonly title: string; readonly table: RainfallTable } => ({
    title: lines.slice(0, at).findLast((line) => line !== "") ?? "",
    table: { unit: unit ?? "", series: series ?? "annual-maximum", ...about, ...gridOf(lines, at, problems) },
  }));
  if (problems.length > 0) throw new InputError("The table of rain cannot be read:", problems);
  const end = (word: RegExp): RainfallTable | null => tables.find(({ title }) => word.test(title))?.table ?? null;
  const best = tables.find(({ title }) => !/upper|lower/i.test(title)) ?? tables[0]!;
  return { table: best.table, upper: end(/upper/i), lower: end(/lower/i) };
}

function saying(lines: readonly string[], key: string): string | null {
  const line = lines.find((each) => each.toLowerCase().startsWith(key));
  return line === undefined ? null : line.slice(line.indexOf(":") + 1).trim();
}

function unitOf(lines: readonly string[], problems: Problem[]): string | null {
  // by searches: a pattern would look for the end of each of a thousand brackets
  const opening = (line: string): number => {
    const said = line.toLowerCase().indexOf("frequency estimates");
    return said < 0 ? -1 : line.indexOf("(", said);
  };
  const title = lines.find((line) => opening(line) >= 0) ?? "";
  const [from, to] = [title.indexOf("(") + 1, title.indexOf(")")];
  const written = to < from ? "" : title.slice(from, to).toLowerCase();
  const length = /inch|^in\b/.test(written) ? "in" : /millimet|^mm\b/.test(written) ? "mm" : null;
  if (length === null) problems.push({ where: "unit", expected: "inches or millimeters in brackets on the first line", got: title === "" ? "none" : title, code: "syntax" });
  const isIntensity = /\/|per/.test(written) || /intensity/i.test(saying(lines, "data type") ?? "");
  return length === null ? null : `${length}${isIntensity ? "/h" : ""}`;
}

function aboutOf(lines: readonly string[]): Pick<RainfallTable, "source" | "place" | "date"> {
  const source = lines.find((line) => /atlas/i.test(line));
  const [name, latitude, longitude] = ["location name", "latitude", "longitude"].map((key) => saying(lines, key)?.replace(/ degree/i, "") ?? "");
  const place = [name === "None" ? "" : name!, latitude === "" ? "" : `${latitude!}, ${longitude!}`].filter((each) => each !== "").join(" at ");
  const date = saying(lines, "date/time");
  return { ...(source && { source }), ...(place !== "" && { place }), ...(date !== null && { date }) };
}

function gridOf(lines: readonly string[], at: number, problems: Problem[]): Pick<RainfallTable, "returnPeriods" | "rows"> {
  const cells = (line: string): string[] => line.split(",").map((cell) => cell.trim());
  const periods = cells(lines[at]!).slice(1).filter((cell) => cell !== "").map((cell) => {
    const years = /^1\/\d+$/.test(cell) ? Number(cell.slice(2)) : Number(cell);
    if (!(years > 0)) problems.push({ where: `line ${at + 1}`, expected: "return periods in years", got: cell, code: "syntax" });
    return `${years} year`;
  });
  const rows: Record<string, number[]> = {};
  for (let i = at + 1; i < lines.length; i++) {
    const [name, ...values] = cells(lines[i]!);
    const duration = /^(\d+)-(min|hr|day):?$/.exec(name!);
    if (duration === null) break;
    rows[`${duration[1]!} ${duration[2]!}`] = values.filter((value) => value !== "").map(Number);
  }
  return { returnPeriods: periods, rows };
}
