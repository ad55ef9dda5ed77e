import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { yearsPart } from "../../lib/report/yearsPart.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { years } from "../../lib/upkeep/years.ts";
import { demo, fixture } from "../site/siteFiles.ts";

const load = designStorm({ pattern: "nrcs-ii", depth: "3.3 in" });

/** A page's words, one space between. */
function textOf(markup: string): string {
  return markup.replace(/<[^>]*>/g, " ").replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code))).replace(/\s+/g, " ");
}

describe("a report's part on the years", () => {
  const result = years(readSite({ ...demo("copperbeech-lane"), upkeep: { freezingIndex: "300 degC day", surfaceFactor: 0.5 } }), {
    storms: [{ name: "2-year day", load }], years: 20,
  });
  const { section, pictures } = yearsPart(result);
  const text = textOf(section.markup);

  test("has the answer, the calendar, the years, the cold, and how far all of it may be off", () => {
    for (const words of [
      "The years In year 20 the pit drains empty in", "What to do, and when", "Every 10 months Settling box: take out what has settled. By these figures", "(computed)", "(common practice)",
      "Year by year, “2-year day”", "water in the soil at 39 °F", "and the ground frozen", "and the lid iced shut",
      "gal, ground over the pit; pressure lifts the turf over the trench: expect it to come out there",
      "The ground freezes 2.5 ft deep at most, by Stefan's law, which is on the deep side: the emitter, open to the air, lies wholly in frozen ground",
      "the box outlet (1.97 ft to 2.3 ft down) lies wholly in frozen ground",
      "The load is guessed within a factor of about three", "known to a factor of ten at best. By that alone 7 to 88 % of the floor is open in the last year",
      "fine solids in the runoff, mean of all events 10 mg/L: Minnesota Stormwater Manual",
      "grit of a year on a plan area 10 lb/1000 sq ft: assumption of ours, no agency gives a figure (gritPerYear)",
    ]) expect(text).toContain(words);
    expect(text).not.toMatch(/NaN|undefined|\bnull\b/);
    expect(section.markup.match(/<tr><th scope="row">(new|\d+)<\/th>/g)).toHaveLength(7);
  });

  test("has its picture at every width of a report, and a place for it", () => {
    expect(pictures.map(({ id, widths }) => [id, widths.map(({ width }) => width)])).toEqual([["years", [330, 700, 1080]]]);
    expect(section.markup).toContain(`id="years" role="img"`);
  });

  test("shows hostile names as text", () => {
    const name = `<script>alert(1)</script>"'&<img src=x onerror=alert(1)>`;
    const hostile = years(readSite({ ...fixture("orchard-depot"), name, upkeep: { about: name } }), { storms: [{ name, load }], years: 1 });
    const part = yearsPart(hostile);
    expect(part.section.markup).not.toMatch(/<script|<img/);
    expect(textOf(part.section.markup)).toContain(name);
  });
});
