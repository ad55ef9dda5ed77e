import type { Figure } from "../figures/figure.ts";

/** Figures as a page carries them, for `pageScript` to unpack. */
export interface PackedFigures {
  /** every long list of numbers once, which figures name by place: `{ "$": 3 }` */
  readonly lists: (number | null)[][];
  /** each picture as it is for each width [px], the narrowest first */
  readonly pictures: readonly { readonly id: string; readonly widths: readonly { readonly width: number; readonly figure: unknown }[] }[];
}

/**
 * The figures of a page with their long lists of numbers stored once: the widths of one picture draw the same lines, and
 * those of one body share their hours.
 */
export function packedFigures(
  pictures: readonly { readonly id: string; readonly widths: readonly { readonly width: number; readonly figure: Figure }[] }[],
): PackedFigures {
  const lists: (number | null)[][] = [];
  const places = new Map<string, number>();
  const packed = (value: unknown): unknown => {
    if (Array.isArray(value)) return value.length >= LONG ? { $: place(value as (number | null)[]) } : value.map(packed);
    if (typeof value !== "object" || value === null) return value;
    return Object.fromEntries(Object.entries(value).map(([key, part]) => [key, packed(part)]));
  };
  const place = (list: (number | null)[]): number => {
    const text = JSON.stringify(list);
    const found = places.get(text);
    if (found !== undefined) return found;
    places.set(text, lists.length);
    lists.push(list);
    return lists.length - 1;
  };
  return {
    pictures: pictures.map(({ id, widths }) => ({
      id, widths: widths.map(({ width, figure: { data, layout, config } }) => ({ width, figure: packed({ data, layout, config }) })),
    })),
    lists,
  };
}

/** A shorter list is not worth a name. */
const LONG = 12;
