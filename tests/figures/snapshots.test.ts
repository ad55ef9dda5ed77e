import { describe, expect, test, vi } from "vitest";
import * as library from "../../lib/index.ts";
import * as hydrology from "../../lib/hydrology.ts";
import type { Figure } from "../../lib/figures/figure.ts";
import { stateMoments } from "../../lib/figures/stateMoments.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { worstMoment } from "../../lib/simulate/worstMoment.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { UNUSUAL } from "../report/unusualSites.ts";
import { galleryFigures } from "../tools/galleryFigures.mjs";

// long on a machine that has other work
vi.setConfig({ testTimeout: 60_000 });

const gallery = await galleryFigures({ ...library, ...hydrology, stateMoments });
const figures = gallery as [string, (options: { readonly width: number }) => Figure][];

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

/** Where lines, texts and shapes of a figure lie, a line each. */
function places({ layout, data }: Figure): string {
  const at = (part: object, keys: readonly string[]): string => keys.map((key) => drawn((part as Record<string, unknown>)[key])).join(" ");
  return [
    ...data.map((trace) => at(trace, ["x", "y"])), ...layout.annotations.map((text) => at(text, ["x", "y", "ax", "ay"])),
    ...layout.shapes.map((shape) => at(shape, ["x0", "y0", "x1", "y1", "path"])),
  ].join("\n").replaceAll(" undefined", "");
}

const DRAWN = [
  "groundwater in the pit, no rain", "groundwater over the sill",
  "no trench and no emitter", "a trench without an emitter", "stone alone, a round box without a sump", "a water table that rises into the pit later",
  "several boxes, one in a hole too low", "a low spot with a grate, the emitter in it", "a pit that comes up through its grate",
  "a low spot in sealed ground under groundwater", "a slit pipe in a trench of three segments, and a weep hole",
  "pit and trench under turf, lifted by a cloudburst", "the trench under turf that slopes, the soil over it shut", "five storms one after another",
];

describe.each(UNUSUAL.filter(({ name }) => DRAWN.includes(name)))("the drawings of $name", ({ file, load }) => {
  const run = settledRun(readSite(file), load);
  const { time } = worstMoment(run);

  test.each([
    ["levels", library.figures.level(run, { width: 700 })], ["the section at its worst", library.figures.section(run, time, { width: 700 })],
    ["flows", library.figures.flow(run, { width: 700 })], ["the ledger", library.figures.ledger(run, { width: 700 })],
  ])("%s lie where they lay", (_, figure) => {
    expect(places(figure)).toMatchSnapshot();
  });
});
