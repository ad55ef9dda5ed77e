import { flowFigure } from "../figures/flowFigure.ts";
import { ledgerFigure } from "../figures/ledgerFigure.ts";
import type { Figure } from "../figures/figure.ts";
import type { Run } from "../simulate/run.ts";
import { byId } from "./element.ts";

/** The part of plotly that a page uses; the page carries its source. */
declare const Plotly: { react(place: HTMLElement, data: Figure["data"], layout: object, config: object): Promise<unknown> };

/**
 * Draws the pictures that follow once a pull has come to rest: every flow, and the ledger. They are plotly's own, to be looked
 * into with a pointer; at a tenth of a second each they cannot follow the hand.
 */
export async function plotlyPictures(run: Run): Promise<void> {
  for (const [id, figureOf] of [["flows", flowFigure], ["ledger", ledgerFigure]] as const) {
    const place = byId(id);
    const width = place.clientWidth;
    const figure = figureOf(run, { width, title: false });
    byId(`${id}-name`).textContent = figure.answer;
    place.setAttribute("aria-label", figure.description);
    await Plotly.react(place, figure.data, { ...figure.layout, width }, { ...figure.config, responsive: false });
  }
}
