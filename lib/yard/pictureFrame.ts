import { FONT } from "../figures/look.ts";
import { html, type Markup } from "../report/markup.ts";

/** A picture that a screen reader has by its label. */
export function picture(label: string, width: number, height: number, parts: readonly Markup[]): Markup {
  return html`<svg
    xmlns="http://www.w3.org/2000/svg"
    role="img"
    aria-label="${label}"
    width="${width}"
    height="${height}"
    viewBox="0 0 ${width} ${height}"
    font-family="${FONT}"
  >
    ${parts}
  </svg>`;
}

/** A size in pixels: what is drawn of figures that are being typed may come out below nothing. */
export function size(value: number): string {
  return px(Math.max(0, value));
}

/** Pixels, to a tenth. */
export function px(value: number): string {
  return String(Number(value.toFixed(1)));
}

/** Text in the middle of this place stays on the picture. */
export function clampX(x: number, width: number, half: number): number {
  return Math.min(width - half, Math.max(half, x));
}
