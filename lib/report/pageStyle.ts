import { FONT, ink, lines } from "../figures/look.ts";

/** A shadow at the right edge of what scrolls, hidden at the end by a cover that scrolls along: it says that there is more. */
const edgeShadow = "background: linear-gradient(to left, #fff 16px, rgba(255,255,255,0)) right / 26px 100% no-repeat local, "
  + "linear-gradient(to left, rgba(34,48,58,0.6), rgba(34,48,58,0)) right / 16px 100% no-repeat scroll;";

/** The style sheet of a report: for a screen of any width, and for paper. */
export const pageStyle: string = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
html { -webkit-text-size-adjust: 100%; text-size-adjust: 100%; }
body { margin: 0; background: #f7f5f0; color: ${ink.text}; font: 16px/1.55 ${FONT}; font-variant-numeric: tabular-nums lining-nums; overflow-wrap: anywhere; }
.page { max-width: 1128px; margin: 0 auto; padding: 0 24px 64px; background: #fff; min-height: 100vh; box-shadow: 0 0 0 1px #e9e5dc; }
h1, h2 { font-family: "Iowan Old Style", "Palatino Linotype", Palatino, Georgia, "Liberation Serif", serif; font-weight: 600; text-wrap: balance; }
h1 { font-size: clamp(24px, 3.3vw, 34px); line-height: 1.22; margin: 6px 0 14px; max-width: 30em; letter-spacing: -0.005em; }
h2 { font-size: 25px; line-height: 1.28; margin: 0 0 10px; max-width: 36em; }
.storm-name { display: block; font: 600 14px/1.5 ${FONT}; color: ${ink.soft}; margin-bottom: 4px; text-wrap: wrap; }
h3 { font-size: 17px; line-height: 1.35; margin: 34px 0 6px; max-width: 44em; }
p, li { max-width: 68ch; }
p { margin: 0 0 12px; }
header { padding: 40px 0 8px; }
.place { font-size: 14px; color: ${ink.soft}; margin: 0; max-width: none; font-weight: 400; }
.notice { border: 2px solid ${ink.text}; padding: 8px 12px; margin: 10px 0 14px; max-width: 60em; }
.about { color: ${ink.soft}; }
.soil { color: ${ink.soft}; font-size: 15px; }
a { color: ${lines.pit.color}; text-underline-offset: 3px; }
a:focus-visible, summary:focus-visible, .scroll:focus-visible, pre:focus-visible { outline: 3px solid ${lines.emitter.color}; outline-offset: 3px; }
.skip { position: absolute; left: -9999px; }
.skip:focus { left: 16px; top: 8px; background: #fff; padding: 8px 12px; z-index: 5; }
section { border-top: 1px solid ${ink.grid}; padding-top: 36px; margin-top: 44px; }
figure { margin: 0; }
figcaption { font-size: 13px; color: ${ink.soft}; margin-top: 2px; }
.picture { width: 100%; }
.drawn { display: none; }
.drawn svg { display: block; width: 100%; height: auto; }
.contents { display: flex; flex-wrap: wrap; gap: 2px 20px; font-size: 15px; margin: 6px 0; }
.contents a { padding: 5px 0; }
.contents + .contents a { font-weight: 600; }
.storms { max-width: none; margin: 0 0 6px; }
#subtitle { color: ${ink.soft}; font-size: 15px; }
section.top { border-top: 0; padding-top: 0; margin-top: 18px; }
.live-only { display: none; }
@media screen and (max-width: 559px) { .at-0 { display: block; } }
@media screen and (min-width: 560px) and (max-width: 1000px) { .at-1 { display: block; } }
@media screen and (min-width: 1001px) { .at-2, .small { display: block; } }
.small { max-width: 760px; }
.scroll { overflow-x: auto; max-width: 100%; margin: 0 0 14px; ${edgeShadow} }
table { border-collapse: collapse; font-size: 15px; line-height: 1.4; }
caption { text-align: left; color: ${ink.soft}; font-size: 14px; padding-bottom: 6px; max-width: calc(100vw - 40px); position: sticky; left: 0; }
th, td { white-space: nowrap; text-align: right; padding: 5px 0 5px 26px; vertical-align: top; font-weight: 400; overflow-wrap: normal; }
th:first-child, td:first-child { text-align: left; padding-left: 0; }
thead th { border-bottom: 1.5px solid ${ink.text}; font-weight: 600; vertical-align: bottom; max-width: 13em; white-space: normal; }
th[scope=row] { white-space: normal; min-width: 8em; }
tbody + tbody th[scope=rowgroup] { padding-top: 16px; }
th[scope=rowgroup] { white-space: normal; font-weight: 600; text-align: left; padding-top: 12px; }
tbody tr:not(.group) > * { border-bottom: 1px solid ${ink.grid}; }
tr.under > th { padding-left: 16px; color: ${ink.soft}; }
.words td, .words th { text-align: left; }
.words td.figure { text-align: right; }
dl { margin: 0; max-width: 60em; }
dl > div { display: grid; grid-template-columns: minmax(9em, 13em) 1fr; gap: 0 26px; margin-bottom: 10px; }
dt { font-weight: 600; }
dd { margin: 0; max-width: 68ch; }
details { margin-top: 20px; }
summary { cursor: pointer; padding: 8px 0; color: ${lines.pit.color}; }
ul.notes { padding-left: 1.1em; margin: 0; }
ul.notes li { margin-bottom: 7px; }
footer { margin-top: 56px; padding-top: 16px; border-top: 1px solid ${ink.grid}; font-size: 13px; color: ${ink.soft}; }
@media screen and (max-width: 700px) {
  body { font-size: 16px; }
  .page { padding: 0 16px 40px; }
  header { padding-top: 22px; }
  h2 { font-size: 22px; }
  section { margin-top: 32px; padding-top: 26px; }
  table { font-size: 14px; }
  td { white-space: normal; }
  th, td { padding-left: 12px; }
  tr > :last-child:not(:first-child) { padding-right: 5px; }
  .scroll th[scope=row]:first-child { position: sticky; left: 0; background: #fff; padding-right: 4px; max-width: 34vw; }
  .brief, .brief tbody, .brief tr, .brief th, .brief td { display: block; }
  .brief thead { position: absolute; left: -9999px; }
  .brief tbody tr:not(.group) { border: 1px solid ${ink.rule}; border-radius: 6px; padding: 8px 12px; margin-bottom: 10px; }
  .brief tbody tr:not(.group) > * { border: 0; padding: 3px 0; }
  .brief tbody tr > th[scope=row]:first-child { font-weight: 600; max-width: none; padding-bottom: 5px; }
  .brief td { display: flex; justify-content: space-between; gap: 16px; }
  .brief td::before { content: attr(data-head); color: ${ink.soft}; text-align: left; }
  dl > div { grid-template-columns: 1fr; margin-bottom: 14px; }
}
@media screen and (max-width: 420px) {
  table { font-size: 13px; }
  th, td { padding-left: 8px; }
  .brief { font-size: 14px; }
}
@page { margin: 14mm 15mm; }
@media print {
  body { background: #fff; font-size: 10.5pt; line-height: 1.45; }
  .page { max-width: none; padding: 0; box-shadow: none; }
  header { padding-top: 0; }
  h1 { font-size: 20pt; }
  h2 { font-size: 15pt; }
  h3 { font-size: 11.5pt; margin-top: 18pt; }
  table { font-size: 9.5pt; }
  .brief th, .brief td { padding-left: 12pt; }
  .brief th:first-child { padding-left: 0; }
  th, td { padding-top: 2.5pt; padding-bottom: 2.5pt; }
  .at-1 { display: block; }
  .skip, .contents, details:not(.printed), details > summary { display: none; }
  details.printed::details-content { content-visibility: visible; display: block; height: auto; }
  section { margin-top: 20pt; padding-top: 14pt; }
  .screen { display: none !important; }
  ul.notes li, ol li { margin-bottom: 3pt; }
  li > p, li > details.printed { margin: 2pt 0; }
  dl > div { margin-bottom: 5pt; }
  td { white-space: normal; }
  h1, h2, h3, caption, thead, tr.group { break-after: avoid; }
  h1, h2, h3, figure, .together, tbody, tr, li, dl > div { break-inside: avoid; }
  .scroll { overflow: visible; background: none; }
}
`;
