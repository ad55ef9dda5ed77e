import { describe, expect, test } from "vitest";
import { answerSentence } from "../../lib/figures/answer.ts";
import { clientSheet } from "../../lib/report/clientSheet.ts";
import { hangsOnPart } from "../../lib/report/hangsOnPart.ts";
import { rememberedRun } from "../../lib/report/rememberedRun.ts";
import { stormSection } from "../../lib/report/stormSection.ts";
import { capacitySentence } from "../../lib/report/wayOut.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { waysOut } from "../../lib/simulate/waysOut.ts";
import { UNUSUAL } from "./unusualSites.ts";

/** A page's part as lines of text: one a paragraph, a heading, an item or a row of a table. */
function linesOf(markup: string): string[] {
  return markup
    .replace(/<details>[^]*?<\/details>|<script[^]*?<\/script>|<style[^]*?<\/style>/g, "")
    .replace(/<\/t[hd]>\s*<t[hd]/g, "</td> | <td")
    .replace(/\s+/g, " ")
    .replace(/<\/(p|h[1-6]|li|tr|figcaption|dt|dd|caption)>/g, "\n")
    .replace(/<[^>]*>/g, "")
    .replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code)))
    .replace(/\u00a0/g, " ")
    .split("\n").map((line) => line.trim()).filter((line) => line !== "");
}

describe("what is said of a site with", () => {
  test.each(UNUSUAL)("$name", ({ name, file, load }) => {
    const site = readSite(file);
    const run = rememberedRun(settledRun(site, load));
    const storm = { name, run, ways: waysOut(run) };
    expect([
      answerSentence(run), capacitySentence(site), ...site.notes,
      "--- report", ...linesOf(stormSection(storm, 0, [storm]).section.markup),
      "--- hangs on", ...linesOf(hangsOnPart([storm]).section.markup),
      "--- house", ...linesOf(clientSheet(run, name).section.markup),
    ]).toMatchSnapshot();
  });
});
