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

describe.each(figures)("%s", (_, make) => {
  test.each([960, 360])("says at %i px what it said before", (width) => {
    expect(prose(make({ width }))).toMatchSnapshot();
  });
});
