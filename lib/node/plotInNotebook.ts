import { randomUUID } from "node:crypto";
import { createRequire } from "node:module";
import { escaped } from "../text/words.ts";
import { plotlySource } from "./plotlySource.ts";

/** What plotly draws; every figure of this library is one, and a reader's own may be. */
export interface PlotlyFigure {
  readonly data: readonly object[];
  readonly layout: object;
  readonly config?: object;
  /** the picture in words, for readers who cannot see it */
  readonly description?: string;
}

/**
 * Shows a plotly figure under the notebook cell that calls it. The first figure of a kernel brings the plotting library
 * along, so that the notebook needs no network; if that cell alone is run again, restart and run all before saving.
 *
 * @param figure  plain data: traces, layout and, where wanted, plotly's configuration
 * @throws Error  when it is not called from a cell of a TypeScript notebook, or the package tslab is not there
 */
export function show(figure: PlotlyFigure): void {
  const kernel = globalThis as { [plotlyShown]?: boolean };
  if (!kernel[plotlyShown]) displayHtml(plotlyHtml());
  // whether the page has the library is a fact about the kernel, not about this module: it is kept where the kernel lives
  kernel[plotlyShown] = true;
  displayHtml(figureHtml(figure, `plot-${randomUUID()}`));
}

const plotlyShown: unique symbol = Symbol.for("soakstep.plotlyShown");
const require = createRequire(import.meta.url);

function displayHtml(html: string): void {
  const { display } = notebookKernel();
  try {
    display.html(html);
  } catch (cause) {
    const expected = "a cell of a running notebook to show the figure in (elsewhere write a page: report(storms, { plotly }), or npm start)";
    throw new Error(`show: expected ${expected}, got none`, { cause });
  }
}

/** Loaded when it is needed, because it brings a compiler along; a user of the library alone does not have it. */
function notebookKernel(): { readonly display: { html(text: string): void } } {
  try {
    return require("tslab") as { display: { html(text: string): void } };
  } catch (cause) {
    throw new Error("show: expected the package tslab beside soakstep (npm install tslab), got none", { cause });
  }
}

/** Notebook pages have a module loader of their own, which would catch the library unless hidden from it. */
function plotlyHtml(): string {
  const source = plotlySource().replaceAll("</script", "<\\/script");
  return `<script>if (!window.Plotly) (function (define, module, exports) {\n${source}\n}).call(window);</script>`;
}

/** Pages may run an output's script before its element is in the document, and outputs in any order: it waits for both. */
function figureHtml({ data, layout, config = {}, description = "" }: PlotlyFigure, id: string): string {
  return `<div id="${id}" class="soakstep-plot" role="img" aria-label="${escaped(description)}"></div>
<script>(function () {
  var id = "${id}", figure = ${scriptJson({ data, layout, config })}, waits = 200;
  (function draw() {
    var place = document.getElementById(id);
    if (place && window.Plotly) window.Plotly.newPlot(place, figure.data, figure.layout, figure.config);
    else if (waits-- > 0) setTimeout(draw, 50);
    else if (place) place.textContent = "The plotting library is not on this page: restart the kernel and run all cells.";
  })();
})();</script>`;
}

/** JSON that a script element can hold: without `<` no text in it can end the script. Typed arrays become lists. */
function scriptJson(value: unknown): string {
  return JSON.stringify(value, (_, part: unknown) => (part instanceof Float64Array ? Array.from(part) : part))
    .replaceAll("<", "\\u003c");
}
