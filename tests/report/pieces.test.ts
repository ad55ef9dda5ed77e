import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { html, scriptData } from "../../lib/report/markup.ts";

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
});
