import { describe, expect, test } from "vitest";
import { designPart } from "../../lib/report/designPart.ts";
import { sizePart } from "../../lib/report/sizePart.ts";
import { sweepPart } from "../../lib/report/sweepPart.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { size } from "../../lib/study/size.ts";
import type { SizeOptions } from "../../lib/study/sizeCases.ts";
import { sweep } from "../../lib/study/sweep.ts";
import type { SweepOptions } from "../../lib/study/sweepCases.ts";
import { demo } from "../site/siteFiles.ts";

const linden = readSite(demo("linden-row"));
/** The same with a lot of which nothing is said: there is room for everything. */
const open = readSite({ ...demo("linden-row"), surroundings: undefined });
const { rainfall } = linden.studies!;
const swept = { rainfall, ...linden.studies!.sweep } as unknown as SweepOptions;
const sized = { rainfall, ...linden.studies!.size } as unknown as SizeOptions;
const hostile = `<script>alert(1)</script>"'&<img src=x onerror=alert(1)>`;

/** A page's words, one space between. */
function textOf(markup: string): string {
  return markup.replace(/<[^>]*>/g, " ").replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code))).replace(/\s+/g, " ");
}

describe("a page's part on the storms", () => {
  test("has the worst of every answer with its duration, for each design, and every storm in numbers", async () => {
    const { section, pictures, answer } = sweepPart(await sweep(linden, swept));
    const text = textOf(section.markup);
    for (const words of [
      "as the site file has it: the worst of each answer", "Five chambers and half as much trench again: the worst of each answer", "the pit's highest level", "let out by the emitter",
      "it first opens at", "half empty after", "empty after", "2-year", "10-year", "30-year",
    ]) expect(text).toContain(words);
    expect(text).toContain(answer);
    expect(text).not.toMatch(/NaN|undefined|\bnull\b/);
    expect(section.markup.match(/<tr class="under">/g)).toHaveLength(2 * 3 * 6);
    expect(pictures.map(({ id }) => id)).toEqual(["sweep-grid", "sweep-curves"]);
  });

  test("has its picture drawn at every width of a page, there without a script", async () => {
    const { section, pictures } = sweepPart(await sweep(linden, swept));
    expect(pictures[0]!.widths.map(({ width }) => width)).toEqual([330, 700, 1080]);
    for (const { width, figure } of pictures[0]!.widths) expect(section.markup).toContain(`viewBox="0 0 ${width} ${figure.layout.height}"`);
  });

  test("shows hostile names as text", async () => {
    const { section } = sweepPart(await sweep(readSite({ ...demo("linden-row"), name: hostile }), { ...swept, designs: [{ name: hostile, chambers: 4 }] }));
    expect(section.markup).not.toMatch(/<script|<img/);
  });
});

describe("a page's part on the size", () => {
  test("has what is asked, the designs round the best with what they miss, their costs, and what a rule of thumb would build", async () => {
    const { section, answer } = sizePart(await size(open, sized));
    const text = textOf(section.markup);
    expect(answer).toMatch(/^Of 36 designs tried \d+ do what is asked; whether they fit was not looked at, because the file says nothing of what stands around\.$/);
    for (const words of [
      "Asked: (1) the emitter stays shut in “10 year, 6 h, block, rain times 1.2”;", "36 designs were run, every combination of the sizes given. Between the steps the least was sought further: 2 to 7 chambers; stone under them from 0.15 m to 0.3 m;", ", misses", "cost",
      "By rule of thumb (room for 25 mm of rain; common practice, without a source): 3 chambers, 150 mm of stone under the chambers and 10 m of trench, 22.5 m³ to dig, "
      + "misses what is asked: the emitter does not stay shut in “10 year, 6 h, block, rain times 1.2”.",
    ]) expect(text).toContain(words);
    expect(text).not.toMatch(/NaN|undefined|\bnull\b|silt/);
    expect(section.markup.match(/<tr><th scope="row">/g)!.length).toBeGreaterThanOrEqual(7);
  });

  test("beside the file's own design, with its dimensions, what each reaches, and what silt would ask for", async () => {
    const sizing = await size(open, sized);
    const { section, answer } = designPart(sizing, sizing.best!.site, "out/linden-row-sized.json");
    const text = textOf(section.markup);
    expect(answer).toMatch(/^3 chambers in a pit .* by .*, .* deep, and .* of trench: the cheapest that does what is asked, of 36 designs and what lies between their steps\.$/);
    for (const words of ["out/linden-row-sized.json", "as drawn", "One step down, all else equal: with fewer chambers", "whether they fit was not looked at", "overflow trench", "pipe from the settling box"]) expect(text).toContain(words);
    expect(text).not.toMatch(/NaN|undefined|\bnull\b/);
  });

  test("where nothing fits, is about the design as drawn and says what would do it and what is in the way", async () => {
    const sizing = await size(linden, sized);
    expect(sizing.best).toBeNull();
    const { section, answer } = designPart(sizing, linden, null);
    expect(answer).toMatch(/^No design tried does what is asked and fits the lot where it is drawn: 3 chambers in a pit .* would do what is asked, but the overflow trench does not lie on the lot, and 3 more things are in the way; none of those tried fits there\.$/);
    expect(textOf(sizePart(sizing).section.markup)).toMatch(/3 chambers in a pit .* would do what is asked, but not fit: .*; the pit lies .* from the retaining wall, 5 m asked \(Buckinghamshire\)/);
    expect(textOf(section.markup)).toContain("No design tried does what is asked and fits, so all that follows is about the file’s own design.");
  });

  test("names the duration that decides a return period", async () => {
    const { section } = sizePart(await size(open, { ...sized, criteria: [{ storm: { returnPeriod: "10 year" }, noFiring: true }], steps: { chambers: [4, 6] } }));
    expect(textOf(section.markup)).toMatch(/ what is asked is decided \(1\) by the storm of .+ from empty works/);
  });

  test("says that silt lay over the floors, and why nothing will do", async () => {
    const sizing = await size(open, { ...sized, sidesOnly: true, criteria: [{ storm: { returnPeriod: "30 year", duration: "6 h" }, emptyWithin: "1 h" }] });
    const text = textOf(sizePart(sizing).section.markup);
    expect(text).toContain("with silt over the floors, so that only the sides drain");
    expect(designPart(sizing, open, null).answer).toMatch(/It cannot be met with the sizes tried, because with silt over the floors in none of 36 designs the pit is empty within 1 h of being last full in “30 year, 6 h, block” \(nearest: .* h\)\./);
  });

  test("shows hostile names as text", async () => {
    const site = readSite({ ...demo("linden-row"), name: hostile, storms: [{ name: hostile, pattern: "block", depth: "30 mm", duration: "1 h" }] });
    const { section } = sizePart(await size(site, { ...sized, criteria: [{ storm: hostile, noFiring: true }] }));
    expect(section.markup).not.toMatch(/<script|<img/);
    expect(textOf(section.markup)).toContain(`“<script>alert(1)</script>`);
  });
});
