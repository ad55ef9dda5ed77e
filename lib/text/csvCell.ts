/**
 * A text as one cell of CSV (RFC 4180): in quotes where it has to be.
 *
 * @example csvCell('elm, "old"'); // => '"elm, ""old"""'
 */
export function csvCell(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
