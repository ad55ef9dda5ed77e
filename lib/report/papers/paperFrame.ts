import { html, trusted, type Markup } from "../markup.ts";
import { ink, FONT } from "../../figures/look.ts";
import type { Reader } from "./reader.ts";

/** What stands at the head of every sheet. */
export interface Identity {
  readonly site: string;
  /** as the file gives it, or a blank to be filled in */
  readonly revision: string;
  /** `2026-11-29` */
  readonly date: string;
  /** `soakstep 0.1.0 (commit 912918b)` */
  readonly version: string;
}

/** One sheet of paper. */
export interface Sheet {
  readonly title: string;
  readonly body: Markup;
}

/** A blank to write in, by its width in letters. */
export function blank(letters: number): Markup {
  return html`<span class="blank" style="min-width:${letters}ch"></span>`;
}

/** A box to tick. */
export const tick: Markup = trusted('<span class="tick" aria-hidden="true"></span>');

/** A table with heads; cells are text or markup. The first column is the head of its row. */
export function rows(heads: readonly (string | Markup)[], lines: readonly (readonly (string | Markup)[])[],
  options: { readonly label: string; readonly kind?: string }): Markup {
  return html`<table class="${options.kind ?? "words"}" tabindex="0" aria-label="${options.label}"><thead><tr>${heads.map((head) => html`<th scope="col">${head}</th>`)}</tr></thead>
<tbody>${lines.map(([first = "", ...rest]) => html`<tr><th scope="row">${first}</th>${rest.map((cell) => html`<td>${cell}</td>`)}</tr>`)}</tbody></table>`;
}

/**
 * Sheets as one page of plain markup without a script: on paper each begins a page, A4 or Letter, under a head that says what it is of.
 *
 * @param options.extra  goes behind the sheets: data that the page carries
 * @param options.flows  sheets of any length, which may run on over pages
 * @param options.large  in letters to be read at home
 */
export function paperFrame(reader: Reader, paper: string, identity: Identity, sheets: readonly Sheet[],
  options: { readonly extra?: Markup; readonly flows?: boolean; readonly large?: boolean } = {}): string {
  const { say, language } = reader;
  const { site, revision, date, version } = identity;
  const sides = options.flows === true;
  const line = [site, paper, say("head.revision", { revision: revision === "" ? "____" : revision }), date, version].join(" · ");
  // on paper the margin tells page n of m, also where a sheet runs on; on a screen the head tells the sheet
  const margins = `@page { margin: ${sides ? "14mm" : "9mm"} 12mm ${sides ? 12 : 10}mm; ${sides ? `@top-left { content: ${cssText(line)}; font: 7.5pt ${FONT}; color: ${ink.soft}; } ` : ""}`
    + `@bottom-right { content: ${cssText(`${say("head.page")} `)} counter(page) ${cssText(` ${say("head.of")} `)} counter(pages); font: 8pt ${FONT}; } }`;
  return html`<!doctype html>
<html lang="${language}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${site}: ${paper}</title>
<style>${trusted(STYLE)}
${trusted(margins)}</style>
</head>
<body${options.large === true ? html` class="large"` : null}>
${sheets.map(({ title, body }, i) => html`<section class="sheet${sides ? " flows" : ""}" aria-labelledby="sheet-${i + 1}">
<p class="id"><bdi>${site}</bdi> · ${paper} · ${say("head.sheet", { n: i + 1, of: sheets.length })} · ${say("head.revision", { revision: revision === "" ? "____" : revision })} · ${date} · ${version}</p>
<h1 id="sheet-${i + 1}">${title}</h1>
${keptUnits(body)}
</section>`)}
${options.extra ?? null}
</body>
</html>
`.markup;
}

/** Markup in which a number stays on one line with its unit and its fraction; what is quoted as it was written is left alone. */
export function keptUnits({ markup }: Markup): Markup {
  return trusted(markup.replace(/<pre[\s\S]*?<\/pre>|<[^>]*>|[^<]+/g, (part) => (part.startsWith("<") ? part : part
    .replace(UNITS, "$1\u00a0").replace(/(&#39;) (?=\d)|(\d) (?=\d+\/\d)/g, "$1$2\u00a0").replace(/(\d\u00a0h) (?=\d)/g, "$1\u00a0").replace(/((?:cu|sq|short)) (?=(?:yd|ft|in|tons?)\b)/g, "$1\u00a0"))));
}

/** A number before a unit that papers show. */
const UNITS = /(\d) (?=(?:ft|in|mm|cm|m|km|gal|L|m³|m²|cu|sq|yd|h|min|s|lb|kg|t|short|days?|Tage|días|°C|°F|%|in\/h|in\/ft|mm\/h|gal\/min|L\/s|Fuhren?|loads?|viajes?)(?![\p{L}\d]))/gu;

function cssText(text: string): string {
  return `"${text.replace(/["\\\n\r<>]/g, (sign) => `\\${sign.charCodeAt(0).toString(16)} `)}"`;
}

const STYLE = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0; background: #ecebe6; color: ${ink.text}; font: 14px/1.36 ${FONT}; font-variant-numeric: tabular-nums lining-nums; }
.sheet { background: #fff; max-width: 186mm; margin: 6mm auto; padding: 10mm 0; outline: 12mm solid #fff; }
.sheet > .id { font-size: 11px; color: ${ink.soft}; margin: 0 0 4px; overflow-wrap: anywhere; }
h1 { font-size: 21px; line-height: 1.2; margin: 0 0 8px; }
h2 { font-size: 15px; line-height: 1.25; margin: 11px 0 4px; break-after: avoid; }
h3 { font-size: 13px; margin: 8px 0 3px; break-after: avoid; }
p { margin: 0 0 6px; }
ul, ol { margin: 0 0 6px; padding-left: 1.4em; }
li { margin-bottom: 3px; }
table { border-collapse: collapse; width: 100%; font-size: 12.5px; line-height: 1.28; margin: 0 0 8px; }
th, td { text-align: left; padding: 2.5px 8px 2.5px 0; vertical-align: top; font-weight: 400; border-bottom: 1px solid #cfd4d6; overflow-wrap: break-word; }
thead th { font-weight: 600; border-bottom: 1.5px solid ${ink.text}; vertical-align: bottom; }
table.figures td, table.figures th:not(:first-child) { text-align: right; }
table.figures td, table.figures tbody th { white-space: nowrap; overflow-wrap: normal; }
caption { text-align: left; color: ${ink.soft}; padding-bottom: 3px; }
tr.group th { font-weight: 600; padding-top: 6px; }
details > summary { font-weight: 600; }
.box { border: 2.5px solid ${ink.text}; padding: 6px 10px; margin: 0 0 8px; }
.box h2 { margin-top: 0; }
.warn { border-left: 6px solid ${ink.text}; padding-left: 8px; font-weight: 600; }
.blank { display: inline-block; border-bottom: 1px solid ${ink.text}; min-height: 1em; }
.tick { display: inline-block; width: 12px; height: 12px; border: 1.5px solid ${ink.text}; margin-right: 5px; vertical-align: -1px; }
.two { display: grid; grid-template-columns: 1fr 1fr; gap: 0 16px; align-items: start; }
.plan { display: grid; grid-template-columns: 1.45fr 1fr; gap: 0 14px; align-items: start; }
.two > *, .plan > * { min-width: 0; }
.buy th:first-child { width: 23%; }
.echo th:first-child { width: 34%; }
.echo td:nth-child(2) { overflow-wrap: anywhere; }
.buy td:nth-child(2), td.n, .n { white-space: nowrap; overflow-wrap: normal; }
.dig td { white-space: nowrap; overflow-wrap: normal; }
.offsets td:nth-child(3n+2), .offsets td:nth-child(3n) { white-space: nowrap; overflow-wrap: normal; }
.levels td, .levels th:first-child { white-space: nowrap; overflow-wrap: normal; }
.levels td:nth-child(3) { white-space: normal; }
dl { margin: 0 0 6px; }
dl > div { display: grid; grid-template-columns: 10em 1fr; gap: 0 14px; margin-bottom: 4px; }
dt { font-weight: 600; }
dd { margin: 0; }
.storm-name { display: block; font-size: 12px; }
.soft { color: ${ink.soft}; }
svg { display: block; width: 100%; height: auto; }
figure { margin: 0 0 6px; break-inside: avoid; }
figcaption { font-size: 11.5px; color: ${ink.soft}; }
ol.steps { list-style: none; padding-left: 0; counter-reset: step; }
ol.steps li { counter-increment: step; padding-left: 44px; position: relative; margin-bottom: 4px; }
ol.steps li::before { content: counter(step); position: absolute; left: 20px; font-weight: 600; }
ol.steps li .tick { position: absolute; left: 0; top: 2px; }
ol.steps li.hold { background: #eef0f0; }
.scroll { overflow-x: auto; }
a { color: inherit; }
@media screen and (max-width: 640px) {
  .sheet { padding: 5mm 4mm; outline: 0; margin: 3mm 0; }
  .two, .plan { grid-template-columns: minmax(0, 1fr); }
  table { display: block; overflow-x: auto; }
  .scroll table { display: table; }
  dl > div { grid-template-columns: 1fr; }
  .blank { min-width: 9ch !important; }
  p, li, dd, h1, h2, h3 { overflow-wrap: anywhere; }
}
@media print {
  body { background: #fff; font-size: 9pt; line-height: 1.27; }
  .sheet { max-width: none; margin: 0; padding: 0; outline: 0; break-after: page; }
  .sheet:last-of-type { break-after: auto; }
  h1 { font-size: 15pt; margin-bottom: 5pt; }
  h2 { font-size: 11pt; margin: 7pt 0 3pt; }
  h3 { font-size: 9.6pt; }
  table { font-size: 8.2pt; line-height: 1.2; margin-bottom: 4pt; }
  th, td { padding: 1.7pt 6pt 1.7pt 0; }
  tr, li, figure, .box { break-inside: avoid; }
  thead { display: table-header-group; }
  figcaption { font-size: 8pt; }
  .flows { break-after: auto; }
  .flows + .flows { border-top: 1px solid ${ink.soft}; padding-top: 5pt; margin-top: 12pt; }
  .flows > .id { display: none; }
  .flows h1 { break-after: avoid; }
  h1 { break-after: avoid; }
  .levels th, .levels td { padding: 2.1pt 5pt 2.1pt 0; }
  ol.steps { columns: 2; column-gap: 14pt; }
  ol.steps li { font-size: 8.6pt; padding-left: 37px; }
  ol.steps li::before { left: 19px; }
  ol.steps li .tick { width: 10px; height: 10px; top: 1px; }
  .buy td, .buy th, .dig td, .dig th { padding: 1.2pt 6pt 1.2pt 0; }
  ol.steps li { margin-bottom: 1.5pt; }
  ul, ol { margin-bottom: 3pt; }
  p { margin-bottom: 3.5pt; }
  li { margin-bottom: 1.5pt; }
  .roomy { font-size: 10pt; line-height: 1.3; }
  .roomy table { font-size: 9.2pt; line-height: 1.22; margin-bottom: 5pt; }
  .roomy th, .roomy td { padding: 2.2pt 6pt 2.2pt 0; }
  .roomy .levels th, .roomy .levels td { padding: 2.2pt 5pt 2.2pt 0; }
  .roomy h2 { font-size: 12pt; }
  .roomy h3 { font-size: 10.6pt; }
  .roomy figcaption { font-size: 9pt; }
  .roomy ol.steps li { font-size: 9.6pt; }
  .snug { font-size: 8.5pt; line-height: 1.22; }
  .snug .levels th, .snug .levels td { padding: 1.6pt 5pt 1.6pt 0; }
  .snug .buy td, .snug .buy th, .snug .dig td, .snug .dig th { padding: 0.5pt 6pt 0.5pt 0; }
  .snug table { font-size: 7.9pt; line-height: 1.15; margin-bottom: 3pt; }
  .snug p { margin-bottom: 2.2pt; }
  .snug h2 { font-size: 10.5pt; margin: 4pt 0 1.8pt; }
  .snug .box h2, .tight .box h2, .dense .box h2 { margin-top: 0; }
  .snug ol.steps li { font-size: 8.1pt; line-height: 1.17; margin-bottom: 0.8pt; }
  .tight { font-size: 8pt; line-height: 1.17; }
  .tight .levels th, .tight .levels td { padding: 1.2pt 5pt 1.2pt 0; }
  .tight .buy td, .tight .buy th, .tight .dig td, .tight .dig th { padding: 0.5pt 6pt 0.5pt 0; }
  .tight table { font-size: 7.5pt; line-height: 1.1; margin-bottom: 2pt; }
  .tight p { margin-bottom: 1.3pt; }
  .tight h2 { font-size: 10pt; margin: 2.5pt 0 1pt; }
  .tight ol.steps li { font-size: 7.8pt; line-height: 1.12; margin-bottom: 0.6pt; }
  .sheet:has(.tight) h1, .sheet:has(.dense) h1 { font-size: 13pt; margin-bottom: 2pt; }
  .dense { font-size: 7.4pt; line-height: 1.13; }
  .dense table { font-size: 7pt; line-height: 1.07; margin-bottom: 1.5pt; }
  .dense th, .dense td { padding: 0.4pt 6pt 0.4pt 0; }
  .dense .levels th, .dense .levels td { padding: 0.8pt 5pt 0.8pt 0; }
  .dense .buy td, .dense .buy th, .dense .dig td, .dense .dig th { padding: 0.2pt 6pt 0.2pt 0; }
  .dense p { margin-bottom: 1pt; }
  .dense h2 { font-size: 9pt; margin: 2pt 0 0.6pt; }
  .dense ol.steps li { font-size: 7.2pt; line-height: 1.09; margin-bottom: 0.4pt; }
  .scroll { overflow: visible; }
  .sheet > .id { font-size: 7.5pt; }
  .screen { display: none; }
  .large { font-size: 12pt; line-height: 1.35; }
  .large table { font-size: 11pt; }
  .large h2 { font-size: 13.5pt; }
  .large figcaption { font-size: 10.5pt; }
  .large p { margin-bottom: 6pt; }
}
`;
