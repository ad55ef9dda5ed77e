import { describe, expect, test, vi } from "vitest";
import * as library from "../../lib/index.ts";
import type { Figure } from "../../lib/figures/figure.ts";
import { stateMoments } from "../../lib/figures/stateMoments.ts";
import { galleryFigures } from "../tools/galleryFigures.mjs";

// long on a machine that has other work
vi.setConfig({ testTimeout: 60_000 });

const figures = await galleryFigures({ ...library, stateMoments }) as [string, (options: { readonly width: number }) => Figure][];

/** A figure as prose: what it says, its axes and texts, and how much is drawn. Figures are rounded, so that no machine differs. */
function prose({ answer, description, layout, data }: Figure): string {
  const axes = Object.entries(layout).filter(([key]) => /^[xy]axis\d*$/.test(key)).map(([key, axis]) => {
    const { title, range, ticktext } = axis as { title?: { text: string }; range?: [number, number]; ticktext?: string[] };
    return `${key}: ${title?.text ?? ""} ${range === undefined ? "" : range.map((end) => end.toPrecision(2)).join(" to ")} ${(ticktext ?? []).join(" ")}`.trim();
  });
  return [
    answer, description, `${layout.height} px high`, ...axes,
    ...data.map(({ type, name }) => `${type}: ${name}`),
    ...layout.annotations.map(({ text }) => `text: ${text}`),
    `${layout.shapes.length} shapes`,
  ].join("\n");
}

const rounded = (value: number): string => String(Number(value.toPrecision(3)));

/** Where and how something is drawn, without its texts: rows of numbers by how many, the first, the middle, the last, least and most. */
function drawn(part: unknown): string {
  if (typeof part === "number") return rounded(part);
  if (ArrayBuffer.isView(part) || Array.isArray(part)) {
    const items = Array.from(part as readonly unknown[]);
    const numbers = items.filter((item) => typeof item === "number" && Number.isFinite(item)) as number[];
    if (items.length < 5 || numbers.length === 0) return `[${items.map(drawn).join(" ")}]`;
    const ends = [items[0], items[Math.floor(items.length / 2)], items.at(-1)].map((item) => (typeof item === "number" ? rounded(item) : "-"));
    const [least, most] = numbers.reduce(([low, high], each) => [Math.min(low, each), Math.max(high, each)], [Infinity, -Infinity]);
    return `[${items.length}: ${ends.join(" ")}; ${rounded(least)} to ${rounded(most)}]`;
  }
  if (typeof part !== "object" || part === null) return String(part);
  return `{${Object.entries(part).filter(([key]) => !TEXTS.has(key)).map(([key, value]) => `${key} ${drawn(value)}`).join(", ")}}`;
}

const TEXTS = new Set(["text", "name", "ticktext", "hovertext", "hovertemplate", "customdata", "meta"]);

/** Everything of a figure but its texts, a line each. */
function geometry({ layout, data }: Figure): string {
  const { annotations, shapes, ...rest } = layout;
  return [drawn(rest), ...data.map(drawn), ...annotations.map(drawn), ...shapes.map(drawn)].join("\n");
}

describe.each(figures)("%s", (_, make) => {
  test.each([960, 360])("says at %i px what it said before", (width) => {
    const figure = make({ width });
    expect(prose(figure)).toMatchSnapshot();
    if (width === 360) return;
    expect(geometry(figure)).toMatchSnapshot();
  });
});
