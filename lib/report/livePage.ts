import { answerSentence } from "../figures/answer.ts";
import { ink } from "../figures/look.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { plainText } from "../text/plainText.ts";
import { rainText } from "../figures/rainPanel.ts";
import { soilText } from "../figures/runSubtitle.ts";
import type { Hyetograph } from "../rain/hyetograph.ts";
import type { Run } from "../simulate/run.ts";
import { cautions, limits } from "./cautions.ts";
import { livePageStyle } from "./livePageStyle.ts";
import { html, scriptData, trusted, type Markup } from "./markup.ts";
import { POLICY } from "./pageFrame.ts";
import { pageStyle } from "./pageStyle.ts";

/** What a live page is made of. */
export interface LivePageParts {
  /** the site file as JSON.parse makes it; the page changes a copy of it */
  readonly file: unknown;
  /** its storms in their order; of those that name a file the page keeps the rain */
  readonly storms: readonly { readonly name: string; readonly rain: Hyetograph; readonly isRecorded: boolean }[];
  /** the run of a storm, for those who read the page before its script is awake, and which of them it is: the first where missing */
  readonly run: Run;
  readonly shown?: number;
  /** source of plotly's basic bundle, and of the page's own program (dist/live/page.js or dist/live/scriptPage.js) */
  readonly plotly: string;
  readonly program: string;
  /** whether the stepper of that program is WebAssembly, which the page's policy then has to allow */
  readonly isWasm: boolean;
}

/**
 * A site as a page that answers: one file with the library inside, in which rain, groundwater, soil, trench, chambers and lid
 * are changed on the pictures themselves. It works from disk and asks for nothing from outside; nothing in a site file can
 * become markup or program.
 *
 * @throws RangeError  when there is no storm
 */
export function livePage({ file, storms, run, shown = 0, plotly, program, isWasm }: LivePageParts): string {
  if (storms.length === 0) throw new RangeError("livePage: expected one storm or more, got none");
  const { site } = run;
  const recorded = Object.fromEntries(storms.flatMap(({ isRecorded, rain }, i) =>
    (isRecorded ? [[i, { time: Array.from(rain.time), depth: Array.from(rain.depth) }]] : [])));
  const answer = answerSentence(run);
  const page = html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${isWasm ? WASM_POLICY : POLICY}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${plainText(site.name, 60)}, live</title>
<style>${trusted(pageStyle)}${trusted(livePageStyle)}</style>
</head>
<body class="live">
<a class="skip" href="#level">To the pictures</a>
<div class="page">
<header>
<p class="place"><bdi>${plainText(site.name)}</bdi></p>
<h1 id="answer">${keptTogether(answer)}</h1>
<p class="storms">${storms.map(({ name }, i) => html`<button type="button" data-storm="${i}" aria-pressed="${String(i === shown)}"><bdi>${plainText(name, 60)}</bdi></button>`)}<span id="subtitle">${rainText(run)} · ${soilText(site)}</span></p>
<p class="hint screen">${sign()} Pull what carries this sign, on the pictures; click into the levels for another hour. By keyboard: Tab to it, arrows, Enter to type a value with its unit.</p>
<p id="changed" class="screen" hidden>Changed: <span id="changed-words"></span>. <button type="button" id="put-back" class="word">Put all back</button></p>
<p id="refusal" class="screen" role="alert"></p>
<p id="spoken" class="unseen" role="status" aria-live="polite"></p>
</header>
<main>
<figure>
<div class="picture" id="level" role="group" aria-label="Water level against time"></div>
<figcaption>Water level of every body. A body that is dry has no line. The section below shows the hour of the upright line.</figcaption>
</figure>
<h2 id="moment"></h2>
<figure>
<div class="picture" id="section" role="group" aria-label="Section through the works"></div>
<figcaption><span id="section-caption"></span> A chamber more or less leaves the pit its width, and its length for each chamber.${site.emitter === null ? "" : " A lid that is set to stick stays shut for the whole storm."}</figcaption>
</figure>
<p id="why"></p>
<section id="answers"></section>
<section aria-labelledby="flows-name">
<h3 id="flows-name"></h3>
<div class="soakstep-plot" id="flows" role="img"></div>
<h3 id="ledger-name"></h3>
<div class="soakstep-plot" id="ledger" role="img"></div>
</section>
<details><summary>The site file as it stands</summary>
<p><a id="download" href="#" download="site.json">Save it</a>: with every change made here, ready to be run again. Rain from a file stays a file beside it.</p>
<pre id="file" tabindex="0"></pre></details>
${cautionParts()}
</main>
<footer><p>Made by soakstep: a water balance of every body, stepped through the storm anew with every change. All hours count from the beginning of the rain, all levels from the site's own datum.<span id="stepper"></span></p></footer>
</div>
<noscript><p>The pictures need a script, which this page carries itself.</p></noscript>
<script>${inScript(plotly)}</script>
<script type="application/json" id="live-source">${scriptData({ file, recorded })}</script>
<script>${inScript(program)}</script>
</body>
</html>
`;
  return page.markup;
}

/** The policy of every page, and leave to compile WebAssembly; it gives none to run text as program. */
const WASM_POLICY = POLICY.replace("script-src 'unsafe-inline'", "script-src 'unsafe-inline' 'wasm-unsafe-eval'");

/** The knob of the pictures, to say what it looks like. */
function sign(): Markup {
  return html`<svg class="sign" width="20" height="20" viewBox="-11 -11 22 22" aria-hidden="true"><circle r="9.5" fill="#fff" stroke="${ink.text}" stroke-width="1.6"/><path d="M-3 -2.2L0 -6L3 -2.2M-3 2.2L0 6L3 2.2" fill="none" stroke="${ink.text}" stroke-width="1.8" stroke-linecap="round" stroke-linejoin="round"/></svg>`;
}

/** A program of ours as a script element can hold it. */
function inScript(source: string): Markup {
  return trusted(source.replace(/<\/script/gi, "<\\/script").replace(/<!--/g, "<\\!--"));
}

function cautionParts(): Markup {
  return html`<details><summary>Before anybody digs, and what this does not promise</summary>
<dl>${cautions.map(({ about, words }) => html`<div><dt>${about}</dt><dd>${words}</dd></div>`)}</dl>
<ul class="notes">${limits.map((limit) => html`<li>${limit}</li>`)}</ul></details>`;
}
