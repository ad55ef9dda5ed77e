import { expect, test } from "vitest";
import { flowFigure } from "../../lib/figures/flowFigure.ts";
import { levelFigure } from "../../lib/figures/levelFigure.ts";
import { storageFigure } from "../../lib/figures/storageFigure.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { shownIn } from "../../lib/site/shownIn.ts";
import { demo } from "./siteFiles.ts";

test("a site shown in metres says metres in every picture and sentence, and runs as before", () => {
  const feet = readSite(demo("copperbeech-lane"));
  const metres = shownIn(feet, "si");
  const storm = designStorm({ pattern: "nrcs-ii", depth: "3.3 in" });
  const [a, b] = [simulate(feet, storm), simulate(metres, storm)];
  expect(b.peaks).toEqual(a.peaks);
  expect(b.ledger).toEqual(a.ledger);
  for (const figure of [levelFigure(b), flowFigure(b), storageFigure(metres)]) {
    const said = [figure.answer, figure.description, ...figure.layout.annotations.map(({ text }) => text)].join("\n");
    expect(said).not.toMatch(/\d (ft|in|gal|gal\/min)\b/);
    expect(said).toMatch(/\d (m|mm|L|m³|L\/s)\b/);
  }
  expect(levelFigure(a).answer).toMatch(/\d ft\b/);
});
