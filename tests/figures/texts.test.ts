import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { lastingText, momentText } from "../../lib/text/hours.ts";
import { keptTogether } from "../../lib/text/keptTogether.ts";
import { plainText, plotText } from "../../lib/text/plainText.ts";
import { textWidth, wrapText } from "../../lib/figures/textWidth.ts";

describe("a person's text on one line", () => {
  test.each([
    ["a terminal's escape", "roof\u001b[31m red", "roof\\u001b[31m red"],
    ["a mark that turns the reading direction", "depot \u202edray", "depot \\u202edray"],
    ["a line break and a tab", "north\n\troof", "north roof"],
    ["half of a letter", "a\ud800b", "a\\ud800b"],
    ["nothing that can be seen", " \u200b\u2060 ", "?"],
  ])("with %s is on one line, and shows it", (_, given, shown) => {
    expect(plainText(given)).toBe(shown);
  });

  test("is cut and marked where it is too long, by letters and not by halves of them", () => {
    expect(plainText("🌧🌧🌧🌧🌧", 4)).toBe("🌧🌧🌧…");
  });

  test("cannot hold markup, a template or a turned direction in a plot, whatever it is", () => {
    fc.assert(fc.property(fc.string({ unit: "binary", maxLength: 40 }), (name) => {
      const shown = plotText(name);
      expect(shown).not.toMatch(/[<>]|%\{|&(?!amp;|lt;|gt;)/);
      expect(shown.replace(/^\u2068|\u2069$/g, "")).not.toMatch(/[\u202a-\u202e\u2066-\u2069\p{Cc}]/u);
    }));
  });

  test("that reads from right to left is fenced in", () => {
    expect(plotText("שלום")).toBe("\u2068שלום\u2069");
  });
});

describe("the width of a text", () => {
  test("is that of Helvetica's digits, all alike, and of its letters", () => {
    // Advance widths of Helvetica in thousandths: digits 556, M 833, i 222, bold i 278 (Adobe's font metrics, from memory)
    expect(textWidth("0123456789", 10)).toBeCloseTo(55.6, 9);
    expect(textWidth("Mi", 10)).toBeCloseTo(10.55, 9);
    expect(textWidth("i", 10, true)).toBeCloseTo(2.78, 9);
  });

  test("holds for every line of a text cut to it, and no word is lost", () => {
    const words = fc.array(fc.stringMatching(/^[a-z0-9]{1,12}$/), { minLength: 1, maxLength: 20 });
    fc.assert(fc.property(words, fc.integer({ min: 40, max: 300 }), (given, width) => {
      const lines = wrapText(given.join(" "), width, 12);
      expect(lines.join(" ")).toBe(given.join(" "));
      for (const line of lines) if (line.includes(" ")) expect(textWidth(line, 12)).toBeLessThanOrEqual(width);
    }));
  });
});

describe("times in words", () => {
  test.each([[0, "hour 0"], [43105, "hour 12"], [42865, "hour 11.9"], [3600 * 47.84, "hour 47.8"], [3600 * 71.6, "hour 72"], [3600 * 1366, "day 57"]])("%d s is %s", (time, words) => {
    expect(momentText(time)).toBe(words);
  });

  test.each([[40, "40 s"], [89.4, "89 s"], [90, "2 min"], [3569, "59 min"], [3570, "1 h"], [9000, "2.5 h"], [157000, "44 h"], [450000, "5.2 days"], [859_000, "9.9 days"], [1_080_000, "13 days"]])(
    "%d s last %s", (duration, words) => {
      expect(lastingText(duration)).toBe(words);
    },
  );

  test("keep their number with their unit", () => {
    expect(keptTogether("The pit rises to 97.37 ft at hour 12, (1040 gal), 22 % out")).toBe("The pit rises to 97.37\u00a0ft at hour\u00a012, (1040\u00a0gal), 22\u00a0% out");
    expect(keptTogether("at trench, h 11.5")).toBe("at trench, h\u00a011.5");
    expect(keptTogether("in 2 of 3 storms")).toBe("in 2 of 3 storms");
  });
});
