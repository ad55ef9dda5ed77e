import { greatestOf } from "../numerics/extremes.ts";
import { answerOfStorms } from "../figures/answer.ts";
import { plainText } from "../text/plainText.ts";
import { soilText } from "../figures/runSubtitle.ts";
import { capacitySentence } from "./wayOut.ts";
import { stoppedNote, stormNotes, summary, type StoppedStorm, type StormRun, type SummaryGroup, type SummaryRow } from "./summary.ts";
import { capital } from "../text/words.ts";

/**
 * The answers of a site's storms as a table for a terminal, at most 100 columns wide: plain text, a column a storm, the
 * storms that do not fit beside one another in a further table below; then what the runs have to say in words.
 *
 * @param storms   one or more, of one site
 * @param stopped  storms of the site whose runs could not go on
 */
export function table(storms: readonly StormRun[], stopped: readonly StoppedStorm[] = []): string {
  const { site } = storms[0]!.run;
  const groups = summary(storms);
  const rows = groups.flatMap((group) => group.rows);
  const labels = greatestOf([...groups.map(({ heading }) => columns(heading)), ...rows.map((row) => columns(indented(row)))]);
  const cell = greatestOf(rows.flatMap(({ values }) => values.map(columns))) + GAP;
  const beside = Math.max(1, Math.floor((WIDTH - labels) / cell));
  const blocks: string[] = [];
  for (let from = 0; from < storms.length; from += beside) {
    const some = storms.slice(from, from + beside);
    const room = Math.floor((WIDTH - labels) / some.length);
    // Names read better in wide columns, as long as there is room for them.
    blocks.push(block(some, groups, from, labels, Math.min(Math.max(cell, MOST_NAME / 2), room)));
  }
  return [
    ...folded(plainText(site.name, WIDTH), ""),
    ...folded(answerOfStorms(storms), "  "),
    ...folded(capital(soilText(site)) + ".", "  "),
    ...folded(capacitySentence(site), "  "),
    ...stopped.flatMap((storm) => folded(stoppedNote(storm), "  ")),
    "",
    blocks.join("\n\n"),
    ...notes(storms),
    "",
  ].join("\n");
}

/**
 * The answers of a site's storms in six lines of at most 100 columns, or as many as its answer takes: the name, the answer, then the rain
 * it holds and the soil as far as there is room.
 *
 * @param storms   one or more, of one site
 * @param stopped  storms of the site whose runs could not go on; they are always listed
 */
export function shortTable(storms: readonly StormRun[], stopped: readonly StoppedStorm[] = []): string {
  const { site } = storms[0]!.run;
  let lines = [
    ...folded(plainText(site.name, WIDTH), ""), ...folded(answerOfStorms(storms), "  "), ...stopped.flatMap((storm) => folded(stoppedNote(storm), "  ")),
  ];
  for (const more of [capacitySentence(site), `${capital(soilText(site))}.`]) {
    const longer = [...lines, ...folded(more, "  ")];
    if (longer.length <= SHORT) lines = longer;
  }
  return [...lines, ""].join("\n");
}

/** Lines that a site takes in the terminal. */
const SHORT = 6;

/** Columns of the narrowest terminal that the table is meant for. */
const WIDTH = 100;
const GAP = 2;
const MOST_NAME = 40;

/** Storms side by side, from the one at `from` on: a column of labels, and `cell` columns of text for each storm. */
function block(storms: readonly StormRun[], groups: readonly SummaryGroup[], from: number, labels: number, cell: number): string {
  const lines = heads(storms, cell).map((head) => " ".repeat(labels) + head.map((text) => padStart(text, cell)).join(""));
  for (const { heading, rows } of groups) {
    lines.push(heading);
    for (const row of rows) {
      const cells = row.values.slice(from, from + storms.length).map((value) => padStart(value, cell));
      lines.push(padEnd(indented(row), labels) + cells.join(""));
    }
  }
  return lines.map((line) => line.trimEnd()).join("\n");
}

function indented({ label, under }: SummaryRow): string {
  return `${under ? "    " : "  "}${label}`;
}

/** The storms' names, each folded to its column, their last lines side by side. */
function heads(storms: readonly StormRun[], cell: number): string[][] {
  const names = storms.map(({ name }) => foldedTo(plainText(name, MOST_NAME), cell - GAP));
  const high = greatestOf(names.map((lines) => lines.length));
  return Array.from({ length: high }, (_, i) => names.map((lines) => lines[i - high + lines.length] ?? ""));
}

/** What the runs say in words: once where every storm says it, else under the storm. */
function notes(storms: readonly StormRun[]): string[] {
  const said = storms.map(stormNotes);
  const everywhere = said[0]!.filter((note) => said.every((each) => each.includes(note)));
  const shared = new Set([...storms[0]!.run.site.notes, ...everywhere]);
  const lines = [...shared].flatMap((note) => bullet(note));
  for (const [i, { name }] of storms.entries()) {
    const own = said[i]!.filter((note) => !shared.has(note));
    if (own.length > 0) lines.push(`  ${plainText(name, MOST_NAME)}:`);
    for (const note of own) for (const line of bullet(note)) lines.push(line);
  }
  return lines.length === 0 ? [] : ["", "Notes", ...lines];
}

function bullet(note: string): string[] {
  return foldedTo(plainText(note), WIDTH - 4).map((line, i) => `${i === 0 ? "  - " : "    "}${line}`);
}

function folded(text: string, indent: string): string[] {
  return foldedTo(text, WIDTH - indent.length).map((line) => indent + line);
}

/** Lines no wider than `width`, cut at spaces, a longer word where it must be. */
function foldedTo(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(" ").flatMap((each) => pieces(each, width))) {
    if (line !== "" && columns(line) + 1 + columns(word) > width) {
      lines.push(line);
      line = word;
    } else line = line === "" ? word : `${line} ${word}`;
  }
  return [...lines, line];
}

function pieces(word: string, width: number): string[] {
  const letters = Array.from(word);
  if (letters.length <= width) return [word];
  return Array.from({ length: Math.ceil(letters.length / width) }, (_, i) => letters.slice(i * width, (i + 1) * width).join(""));
}

function padStart(text: string, width: number): string {
  return " ".repeat(Math.max(0, width - columns(text))) + text;
}

function padEnd(text: string, width: number): string {
  return text + " ".repeat(Math.max(0, width - columns(text)));
}

/** Columns a text takes: a letter each, as far as a table can know. */
function columns(text: string): number {
  return Array.from(text).length;
}
