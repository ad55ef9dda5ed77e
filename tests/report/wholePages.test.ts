import { describe, expect, test } from "vitest";
import { sitingAnswer } from "../../lib/figures/sitingAnswer.ts";
import { ledgerSentence } from "../../lib/figures/waterBook.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { fillTestPart } from "../../lib/report/fillTestPart.ts";
import { hangsOnPart } from "../../lib/report/hangsOnPart.ts";
import { ownerPaper } from "../../lib/report/papers/ownerPaper.ts";
import { readerOf } from "../../lib/report/papers/reader.ts";
import { sitingPart } from "../../lib/report/sitingPart.ts";
import { exitRows, wayOutSentences } from "../../lib/report/wayOut.ts";
import { yearsPart } from "../../lib/report/yearsPart.ts";
import { drainTime } from "../../lib/simulate/drainTime.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { exitsReached } from "../../lib/simulate/exits.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { siting } from "../../lib/plan/siting.ts";
import { answerRow, ANSWERS, type AnswerName } from "../../lib/study/answerRow.ts";
import { runWords } from "../../lib/study/runWords.ts";
import { sidesOnly } from "../../lib/study/sidesOnly.ts";
import { years } from "../../lib/upkeep/years.ts";
import { UNUSUAL, type Unusual } from "./unusualSites.ts";

// Whole pages of unusual sites: what one part says holds in every other.

const unusual = (name: string): Unusual => UNUSUAL.find((each) => each.name === name)!;
const siteOf = (name: string, changes: object = {}): Site => readSite({ ...unusual(name).file, ...changes });
const runOf = (name: string): Run => settledRun(siteOf(name), unusual(name).load);
const small = designStorm({ pattern: "block", depth: "8 mm", duration: "1 h" });

function textOf(markup: string): string {
  return markup.replace(/<[^>]*>/g, " ").replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code))).replace(/\s+/g, " ");
}

describe("a pit under groundwater", () => {
  const sill = runOf("groundwater over the sill");

  test("that never empties in the report does not empty in a study's row either", () => {
    const row = answerRow(sill.site, small, {});
    const told = Object.fromEntries(ANSWERS.map(({ name }, i) => [name, row[i]!])) as Record<AnswerName, number>;
    expect(drainTime(settledRun(sill.site, small))).toMatchObject({ half: null, empty: null, never: "drowned" });
    expect([told.half, told.empty, told.stopped]).toEqual([NaN, NaN, 0]);
    // where a report has a time the row has the same
    const usual = siteOf("as usual");
    const { half, empty } = drainTime(settledRun(usual, small))!;
    const dry = answerRow(usual, small, {});
    expect(["half", "empty"].map((name) => dry[ANSWERS.findIndex((column) => column.name === name)])).toEqual([half, empty]);
  });

  test("has an emitter that lets groundwater out and does not fire", () => {
    expect(runWords(sill)).toMatch(/the emitter lets out [\d.]+ m³, groundwater with it$/);
    expect(runWords(runOf("an emitter under water outside"))).not.toContain("groundwater with it");
  });

  test("gets no fill sheet", () => {
    const page = textOf(fillTestPart(sill.site).section.markup);
    expect(page).toContain("No fill test can be made while groundwater fills the pit to 9.400 m");
    expect(page).not.toMatch(/too little|watch it fall|The pit takes/);
  });

  test("is nearer to it than is asked, and the first sentence of the siting says so", () => {
    const site = siteOf("groundwater over the sill", { surroundings: { features: [{ kind: "building", name: "house", distance: "30 m" }] } });
    expect(sitingAnswer(siting(site), "si")).toMatch(/Groundwater stands 1\.5 m above the pit's floor; .* asks for 1 m below it\.$/);
    const usual = siteOf("as usual", { surroundings: { features: [{ kind: "building", name: "house", distance: "30 m" }] } });
    expect(sitingAnswer(siting(usual), "si")).not.toContain("Groundwater");
  });
});

describe("works whose floors take in nothing", () => {
  test.each([["soil that takes in nothing", "nothing drains"], ["a weep hole and no open floor", "only the sides drain"]])(
    "are not said to have a floor still open: %s", (name, left) => {
      const { file, load } = unusual(name);
      const text = textOf(yearsPart(years(readSite({ ...file, upkeep: {} }), { storms: [{ name: "storm", load }], years: 1 })).section.markup);
      expect(text).not.toMatch(/floor still open|of the floor is open|floor is sealing|floor has to be opened/);
      expect(text).toContain("The pit's floor takes in nothing as the file has it");
      const run = runOf(name);
      expect(textOf(hangsOnPart([{ name, run }]).section.markup)).toMatch(new RegExp(`In the file too the floors of pit and trench take in nothing.*${left}`));
    },
  );

  test("are the same sealed or not, and are not said to stay clean", () => {
    const { open, sealed } = sidesOnly(siteOf("soil that takes in nothing"), small);
    expect(sealed).toBe(open);
    expect(open.site.notes.join("\n")).not.toContain("stay clean");
  });

  test("have a fill sheet on which the water is to stay, with or without a trench", () => {
    const { overflowTrench: _, emitter: __, ...bare } = unusual("soil that takes in nothing").file;
    const page = textOf(fillTestPart(readSite(bare)).section.markup);
    expect(page).toContain("As designed nothing soaks away and the water stays where it is");
    expect(page).toContain("Shut the pipe from the box, or stay below it.");
    expect(textOf(fillTestPart(siteOf("as usual")).section.markup)).toContain("Shut the pipe from the box and the one to the trench, or stay below them.");
  });
});

test("a low spot that stays dry is no water below its lip", () => {
  const { first } = wayOutSentences(settledRun(siteOf("a pit that comes up through its grate"), small));
  expect(first).toMatch(/^The water comes out nowhere: it stops \d+ mm below the box rim\.$/);
});

test("works that groundwater runs into are not just empty before the rain", () => {
  const { overflowTrench } = unusual("as usual").file as { readonly overflowTrench: object };
  const house = (changes: object): string => textOf(ownerPaper(simulate(siteOf("as usual", changes), small), "a shower", readerOf("en-GB", "si"))[0]!.body.markup);
  expect(house({})).toContain("Empty, ready ");
  expect(house({ overflowTrench: { ...overflowTrench, groundwaterLevel: "9.3 m" } })).toContain("Empty, though water runs in from the ground ");
});

test("water that stops within a hair of an edge is just below it, and a level that water stands over from the start says so", () => {
  const run = settledRun(siteOf("as usual", { watchLevels: [{ name: "drain", level: `${siteOf("as usual").settlingBoxes[0]!.floor} m` }] }), small);
  const asRun = exitsReached(run);
  const near = asRun.map((exit) => (exit.kind === "emitter" ? { ...exit, time: null, volume: 0, top: exit.level - 1e-5, short: 1e-5 } : { ...exit, time: null, volume: 0, top: exit.level - 1, short: 1 }));
  expect(wayOutSentences(run, [{ when: "asRun", exits: near }]).first).toBe("The water comes out nowhere: it stops just below the level that opens the emitter.");
  const rows = exitRows(run, [{ when: "asRun", exits: near }, { when: "asRun", exits: asRun }]);
  expect(rows.find(({ words }) => words === "emitter opens")!.cells[0]).toBe("just short");
  expect(rows.find(({ words }) => words.includes("drain"))!.cells[1]).toBe("from the start");
  expect(wayOutSentences(run).others).toMatch(/It stands at the level of “drain” \([\d.]+ m\) from the start\./);
});

test("a book of a pumped site says that it is net of the pump, and no other does", () => {
  expect(ledgerSentence(runOf("a pump in the low spot and a hose into the box"))).toContain("of it stood there before), less what is pumped out, ");
  expect(ledgerSentence(runOf("a hose into the pit"))).not.toContain("pumped");
});

test("a site without a trench has no trench beside what is asked", () => {
  const house = { surroundings: { features: [{ kind: "building", name: "house", distance: "30 m" }] } };
  const said = (name: string): string => textOf(sitingPart(siteOf(name, house))!.section.markup);
  expect(said("no trench and no emitter")).not.toContain("trench lies");
  expect(said("no trench and no emitter")).toContain("They speak of what soaks: the pit.");
});
