import type { Figure } from "../figures/figure.ts";

/** A picture of a page: its place, and how it looks at each width [px], the narrowest first. */
export interface Picture<Look> {
  readonly id: string;
  readonly widths: readonly { readonly width: number; readonly figure: Look }[];
}

/** Figures as a page carries them, for `pageScript` to unpack. */
export interface PackedFigures {
  /** every larger piece of a figure once, which others name by place: `{ "$": 3 }` */
  readonly pieces: readonly unknown[];
  readonly pictures: readonly Picture<unknown>[];
}

/**
 * The figures of a page with whatever they share stored once: the widths of one picture draw the same lines, the lines
 * of one picture share their hours, and most axes and letters are alike.
 */
export function packedFigures(pictures: readonly Picture<Figure>[]): PackedFigures {
  const pieces: unknown[] = [];
  const places = new Map<string, number>();
  const packed = (value: unknown): unknown => {
    if (typeof value !== "object" || value === null) return value;
    const whole = Array.isArray(value) ? value.map(packed)
      : Object.fromEntries(Object.entries(value).map(([key, part]) => [key, packed(part)]));
    const text = JSON.stringify(whole);
    if (text.length < WORTH) return whole;
    const known = places.get(text);
    if (known !== undefined) return { $: known };
    places.set(text, pieces.length);
    pieces.push(whole);
    return { $: pieces.length - 1 };
  };
  return {
    pictures: pictures.map(({ id, widths }) => ({
      id,
      widths: widths.map(({ width, figure: { data, layout, config } }) => ({ width, figure: packed({ data, layout, config }) })),
    })),
    pieces,
  };
}

/** A shorter text than this is not worth a place of its own. */
const WORTH = 30;
