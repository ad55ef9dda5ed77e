/** A sentence in which a number stays on one line with its unit, and an hour with its figure. */
export function keptTogether(text: string): string {
  return text
    .replace(/(\d) (cu|sq) (?=(?:yd|ft)(?!\w))/g, "$1\u00a0$2\u00a0")
    .replace(/(\d) (?=(?:ft|in|m|mm|gal|L|m³|m²|h|min|s|days|%|in\/h|mm\/h|gal\/min|L\/s)(?![\w/]))/g, "$1\u00a0")
    .replace(/\b(hour|h|factor) (?=\d)/g, "$1\u00a0");
}
