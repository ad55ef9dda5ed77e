import { escaped } from "../../text/words.ts";
import { ink } from "../../figures/look.ts";
import { trusted, type Markup } from "../markup.ts";

/** A spot on a drawing: to the right and down [px]. */
export type Spot = readonly [x: number, y: number];

/** Strokes of a drawing, as text; numbers to a tenth of a pixel. */
export const draw = {
  line: (spots: readonly Spot[], style: string): string => `<polyline points="${places(spots)}" fill="none" ${style}/>`,
  area: (spots: readonly Spot[], style: string): string => `<polygon points="${places(spots)}" ${style}/>`,
  box: (left: number, top: number, width: number, height: number, style: string): string =>
    `<rect x="${short(left)}" y="${short(top)}" width="${short(Math.max(0, width))}" height="${short(Math.max(0, height))}" ${style}/>`,
  circle: ([x, y]: Spot, radius: number, style: string): string => `<circle cx="${short(x)}" cy="${short(y)}" r="${short(radius)}" ${style}/>`,
  text: ([x, y]: Spot, text: string, options: { readonly size?: number; readonly anchor?: "start" | "middle" | "end"; readonly bold?: boolean; readonly color?: string; readonly turn?: number } = {}): string => {
    const { size = 11, anchor = "start", bold = false, color = ink.text, turn = 0 } = options;
    const turned = turn === 0 ? "" : ` transform="rotate(${short(turn)} ${short(x)} ${short(y)})"`;
    // a white rim, so that a word on a line can be read
    return `<text x="${short(x)}" y="${short(y)}" font-size="${size}" text-anchor="${anchor}"${bold ? ' font-weight="600"' : ""} fill="${color}" stroke="#fff" stroke-width="2.6" paint-order="stroke"${turned}>${escaped(text)}</text>`;
  },
} as const;

/** A drawing in its own place; `words` is what it shows, for those who cannot see it. */
export function svg(width: number, height: number, words: string, strokes: readonly string[], defs: string = ""): Markup {
  return trusted(`<svg viewBox="0 0 ${short(width)} ${short(height)}" role="img" aria-label="${escaped(words)}">${defs === "" ? "" : `<defs>${defs}</defs>`}${strokes.join("")}</svg>`);
}

function places(spots: readonly Spot[]): string {
  return spots.map(([x, y]) => `${short(x)},${short(y)}`).join(" ");
}

function short(number: number): string {
  return String(Math.round(number * 10) / 10 + 0);
}
