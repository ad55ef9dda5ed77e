import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { levelFigure } from "../../lib/figures/levelFigure.ts";
import { html, scriptData } from "../../lib/report/markup.ts";
import { packedFigures } from "../../lib/report/packedFigures.ts";
import { drawnRun } from "../figures/drawnRun.ts";

/** As the page's own script does it. */
function unpacked(part: unknown, pieces: readonly unknown[]): unknown {
  if (part === null || typeof part !== "object") return part;
  if ("$" in part && typeof part.$ === "number") return unpacked(pieces[part.$], pieces);
  if (Array.isArray(part)) return part.map((each) => unpacked(each, pieces));
  return Object.fromEntries(Object.entries(part).map(([key, value]) => [key, unpacked(value, pieces)]));
}

describe("the pieces of a page", () => {
  test("hold any text between tags and in quotes without a mark of markup", () => {
    fc.assert(fc.property(fc.string({ unit: "binary" }), (text) => {
      const { markup } = html`<p title="${text}">${text}</p>`;
      expect(markup.replace(/^<p title="|">|<\/p>$/g, "")).not.toMatch(/[<>"']|&(?!#\d+;)/);
    }));
  });

  test("take markup and lists of it as they are, and null as nothing", () => {
    expect(html`<ul>${[html`<li>${1}</li>`, html`<li>${"a & b"}</li>`]}${null}</ul>`.markup).toBe("<ul><li>1</li>\n<li>a &#38; b</li></ul>");
  });

  test("hold data in a script that reads back the same, without a sign that could end it", () => {
    fc.assert(fc.property(fc.jsonValue(), fc.string({ unit: "binary" }), (value, text) => {
      const { markup } = scriptData({ value, text });
      expect(markup).not.toMatch(/[<>\u2028\u2029]/);
      expect(JSON.parse(markup)).toEqual(JSON.parse(JSON.stringify({ value, text })));
    }));
  });

  test("carry figures that unpack to what they were", () => {
    const run = drawnRun("library-3in");
    const widths = [328, 1080].map((width) => ({ width, figure: levelFigure(run, { width }) }));
    const packed = packedFigures([{ id: "a", widths }]);
    packed.pictures[0]!.widths.forEach(({ figure }, i) => {
      const { data, layout, config } = widths[i]!.figure;
      expect(unpacked(figure, packed.pieces)).toEqual({ data, layout, config });
    });
  });

  test("carry the lines of a picture once for all its widths", () => {
    const run = drawnRun("library-3in");
    const packedSize = (widths: readonly number[]): number =>
      JSON.stringify(packedFigures([{ id: "a", widths: widths.map((width) => ({ width, figure: levelFigure(run, { width }) })) }])).length;
    expect(packedSize([328, 358, 670, 1080])).toBeLessThan(1.8 * packedSize([1080]));
  });
});
