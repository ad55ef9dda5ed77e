import type { Figure } from "../figures/figure.ts";
import { html, type Markup, scriptData, trusted } from "./markup.ts";
import { packedFigures, type Picture } from "./packedFigures.ts";
import { pageStyle } from "./pageStyle.ts";

/**
 * The script of a report, as text: it unpacks the figures and draws each as it is for the width at hand, again when the
 * width changes, and for paper. It asks for nothing from outside.
 */
const pageScript: string = `(function () {
  "use strict";
  var packed = JSON.parse(document.getElementById("figures").textContent);
  var PAPER = 670;
  function unpacked(part) {
    if (part === null || typeof part !== "object") return part;
    if (typeof part.$ === "number") return unpacked(packed.pieces[part.$]);
    if (Array.isArray(part)) return part.map(unpacked);
    var whole = {};
    Object.keys(part).forEach(function (key) { whole[key] = unpacked(part[key]); });
    return whole;
  }
  function fitting(picture, width) {
    var best = picture.widths[0];
    picture.widths.forEach(function (each) { if (each.width <= width) best = each; });
    return best;
  }
  function draw(picture, width) {
    var place = document.getElementById(picture.id);
    var chosen = fitting(picture, width);
    if (picture.drawn === width) return;
    picture.drawn = width;
    var figure = unpacked(chosen.figure);
    figure.layout.width = width;
    figure.config.responsive = false;
    Plotly.react(place, figure.data, figure.layout, figure.config);
  }
  function drawAll(width) {
    packed.pictures.forEach(function (picture) {
      draw(picture, width || document.getElementById(picture.id).clientWidth);
    });
  }
  // One picture a turn, so that the first is there at once and the page can be read meanwhile.
  var next = 0;
  function drawNext() {
    if (next >= packed.pictures.length) return;
    var picture = packed.pictures[next++];
    draw(picture, document.getElementById(picture.id).clientWidth);
    setTimeout(drawNext, 0);
  }
  drawNext();
  var waiting = 0;
  addEventListener("resize", function () {
    clearTimeout(waiting);
    waiting = setTimeout(function () { if (!matchMedia("print").matches) drawAll(); }, 120);
  });
  addEventListener("beforeprint", function () { drawAll(PAPER); });
  addEventListener("afterprint", function () { drawAll(); });
})();`;

/** What a page holds. */
export interface Page {
  /** of the window, plain text */
  readonly title: string;
  readonly header: Markup;
  readonly main: Markup;
  /** drawn in their places of `main` */
  readonly pictures: readonly Picture<Figure>[];
  /** the source of plotly's basic bundle */
  readonly plotly: string;
}

/** A whole page in one file, which works from disk and asks for nothing from outside. */
export function pageFrame({ title, header, main, pictures, plotly }: Page): string {
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${POLICY}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
<style>${trusted(pageStyle)}</style>
</head>
<body>
<a class="skip" href="#answers">To the answers</a>
<div class="page">
<header>
${header}
</header>
<main id="answers">
${main}
</main>
<footer><p>Made by soakstep: a water balance of every body, stepped through the storm. All hours count from the beginning of the rain, all levels from the site's own datum.</p></footer>
</div>
<noscript><p>The pictures need a script, which this page carries itself; the tables hold the same numbers.</p></noscript>
<script>${trusted(plotly.replace(/<\/script/gi, "<\\/script"))}</script>
<script type="application/json" id="figures">${scriptData(packedFigures(pictures))}</script>
<script>${trusted(pageScript)}</script>
</body>
</html>
`.markup;
}

/** Nothing from outside, whatever a page may hold. */
export const POLICY: string = [
  "default-src 'none'", "script-src 'unsafe-inline'", "style-src 'unsafe-inline'", "img-src data: blob:", "font-src data:",
  // which the default does not hold for
  "base-uri 'none'", "form-action 'none'",
].join("; ");
