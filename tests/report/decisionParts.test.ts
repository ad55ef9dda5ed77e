import { describe, expect, test } from "vitest";
import { sizePart } from "../../lib/report/sizePart.ts";
import { sweepPart } from "../../lib/report/sweepPart.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { size } from "../../lib/study/size.ts";
import type { SizeOptions } from "../../lib/study/sizeCases.ts";
import { sweep } from "../../lib/study/sweep.ts";
import type { SweepOptions } from "../../lib/study/sweepCases.ts";
import { demo } from "../site/siteFiles.ts";

const linden = readSite(demo("linden-row"));
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
    expect(pictures.map(({ id }) => id)).toEqual(["sweep-grid"]);
  });

  test("keeps no more room for its picture than the lowest one takes", async () => {
    const { section, pictures } = sweepPart(await sweep(linden, swept));
    const least = Math.min(...pictures[0]!.widths.map(({ figure }) => figure.layout.height));
    expect(section.markup).toContain(`style="min-height:${least}px"`);
  });

  test("shows hostile names as text", async () => {
    const { section } = sweepPart(await sweep(readSite({ ...demo("linden-row"), name: hostile }), { ...swept, designs: [{ name: hostile, chambers: 4 }] }));
    expect(section.markup).not.toMatch(/<script|<img/);
  });
});

describe("a page's part on the size", () => {
  test("has what is asked, the designs round the best with what they miss, their costs, and what a rule of thumb would build", async () => {
    const { section, answer } = sizePart(await size(linden, sized));
    const text = textOf(section.markup);
    expect(answer).toMatch(/^4 chambers, .* are the cheapest of the \d+ that do what is asked, of 36 designs; one step down, all else equal: with fewer chambers the emitter does not stay shut in /);
    for (const words of [
      "Asked: (1) the emitter stays shut in “10 year, 6 h, block, rain times 1.2”;", "The 7 nearest the best one, of 36 designs in the order of their cost.", "36 designs were run, every combination of the sizes given.", ", misses", "cost",
      "By rule of thumb (room for 25 mm of rain; common practice, without a source): 3 chambers, 150 mm of stone under the chambers and 10 m of trench, 22.4 m³ to dig, "
      + "misses what is asked: the emitter does not stay shut in “10 year, 6 h, block, rain times 1.2”.",
    ]) expect(text).toContain(words);
    expect(text).not.toMatch(/NaN|undefined|\bnull\b|silt/);
    expect(section.markup.match(/<tr><th scope="row">/g)).toHaveLength(7);
  });

  test("names the duration that decides a return period", async () => {
    const { section } = sizePart(await size(linden, { ...sized, criteria: [{ storm: { returnPeriod: "10 year" }, noFiring: true }] }));
    expect(textOf(section.markup)).toMatch(/ what is asked is decided \(1\) by the storm of .+ from empty works/);
  });

  test("says that silt lay over the floors, and why nothing will do", async () => {
    const { section } = sizePart(await size(linden, { ...sized, sidesOnly: true, criteria: [{ storm: { returnPeriod: "30 year", duration: "6 h" }, emptyWithin: "1 h" }] }));
    const text = textOf(section.markup);
    expect(text).toContain("with silt over the floors, so that only the sides drain");
    expect(text).toMatch(/It cannot be met with the sizes tried, because with silt over the floors in none of 36 designs the pit is empty within 1 h of being last full in “30 year, 6 h, block” \(nearest: .* h\)\./);
  });

  test("shows hostile names as text", async () => {
    const site = readSite({ ...demo("linden-row"), name: hostile, storms: [{ name: hostile, pattern: "block", depth: "30 mm", duration: "1 h" }] });
    const { section } = sizePart(await size(site, { ...sized, criteria: [{ storm: hostile, noFiring: true }] }));
    expect(section.markup).not.toMatch(/<script|<img/);
    expect(textOf(section.markup)).toContain(`“<script>alert(1)</script>`);
  });
});
