import type { Site } from "../../site/site.ts";
import { buying } from "./buying.ts";
import type { Reader } from "./reader.ts";

/**
 * The buying list as CSV in UTF-8: item, amount, unit, size and cuts. Where the reader's decimal mark is a comma the columns part at
 * semicolons, as spreadsheets of such places write them.
 *
 * @source  RFC 4180 for quotes and line ends
 */
export function orderCsv(site: Site, reader: Reader): string {
  const { say } = reader;
  const mark = reader.language === "de" || reader.language === "es" ? ";" : ",";
  const lines = [
    [say("buy.head.item"), say("buy.head.amount"), say("buy.head.unit"), say("buy.head.note")],
    ...buying(site, reader).rows.map(({ item, amount, unit, note }) => [item, amount, unit, note]),
  ];
  return lines.map((cells) => cells.map((cell) => quoted(cell, mark)).join(mark)).join("\r\n") + "\r\n";
}

/** A cell that a spreadsheet would take for a formula gets a quote in front. */
function quoted(cell: string, mark: string): string {
  const safe = /^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
  return safe.includes(mark) || /["\r\n]/.test(safe) ? `"${safe.replace(/"/g, '""')}"` : safe;
}
