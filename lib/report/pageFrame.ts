import type { Figure } from "../figures/figure.ts";
import { html, scriptData, trusted, type Markup } from "./markup.ts";
import { packedFigures, type Picture } from "./packedFigures.ts";
import { pageScript } from "./pageScript.ts";
import { pageStyle } from "./pageStyle.ts";

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
