import fc from "fast-check";
import { expect, test } from "vitest";
import { answerSentence } from "../../lib/figures/answer.ts";
import { levelFigure } from "../../lib/figures/levelFigure.ts";
import { groundwaterAt } from "../../lib/figures/sectionDrawing.ts";
import { sectionFigure } from "../../lib/figures/sectionFigure.ts";
import { cautionList } from "../../lib/report/sitingPart.ts";
import { hangsOnPart } from "../../lib/report/hangsOnPart.ts";
import { crewPaper } from "../../lib/report/papers/crewPaper.ts";
import { ownerPaper } from "../../lib/report/papers/ownerPaper.ts";
import { readerOf } from "../../lib/report/papers/reader.ts";
import { stormSection } from "../../lib/report/sitePage.ts";
import { capacitySentence } from "../../lib/report/wayOut.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { stateMoments } from "../../lib/figures/stateMoments.ts";
import { drainTime } from "../../lib/simulate/drainTime.ts";
import { exits } from "../../lib/simulate/exits.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { waysOut } from "../../lib/simulate/waysOut.ts";
import { levelList } from "../../lib/plan/levelList.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { siting } from "../../lib/plan/siting.ts";
import { besidePaths } from "../../lib/study/pathBand.ts";
import { besideSealed } from "../../lib/study/sidesOnly.ts";
import { extras, flows, plain, siteText } from "../simulate/randomSites.ts";
import { shareOf } from "../share.ts";

// One thing has one level: whatever is said of a random site, every level in it is one that its file gives, one that follows from
// two of the file's numbers by the sums below, or one that the run's water stands at, to the millimetre, or where it is told so to the
// centimetre. All sites stand on a datum of 1608.4 m, so that a number of 1600 or more with two or three decimals is a level and
// nothing else.

const DATUM = 1608.4;
const levelsIn = (said: string): string[] => said.replace(/(\d)[\u00a0\u202f ](?=\d{3}\b)/g, "$1").match(/\b16\d\d\.\d{2,3}\b/g) ?? [];

const cases = fc.record({ plan: plain(), more: extras }).chain(({ plan, more }) => {
  const { json, bodies } = siteText({ ...plan, datum: DATUM }, more);
  return fc.record({ json: fc.constant(json), load: flows(bodies) });
});

test("every surface names one level for one thing, on 2 000 random sites", () => {
  let told = 0;
  fc.assert(fc.property(cases, ({ json, load }) => {
    const site = readSite(json);
    const inflows = Object.fromEntries(Object.entries(load).map(([body, line]) => [body, hydrograph(line)]));
    const run = settledRun(site, inflows, { until: "24 h" });
    const [given, water] = [levelsOf(json), waterLevels(run)];
    const known = new Set([
      ...[...given, ...water].map((level) => level.toFixed(3)), ...water.map((level) => level.toFixed(2)),
      // a picture leaves out up to four millimetres
      ...given.filter((level) => Math.abs(level - Number(level.toFixed(2))) <= 0.004).map((level) => level.toFixed(2)),
    ]);
    const strange = Object.entries(surfaces(run)).flatMap(([surface, said]) => levelsIn(said).flatMap((level) => {
      told++;
      return known.has(level) ? [] : [`${surface}: ${level} is not one of the site's levels: …${around(said, level)}…`];
    }));
    expect(strange).toEqual([]);
  }), { seed: 20261128, numRuns: shareOf(2000), endOnFailure: true });
  expect(told).toBeGreaterThan(shareOf(200_000));
});

function around(said: string, level: string): string {
  const plainSaid = said.replace(/<[^>]*>/g, " ").replace(/\s+/g, " ");
  const at = plainSaid.indexOf(level);
  return plainSaid.slice(Math.max(0, at - 120), at + 60);
}

/** What every surface says, as text. */
function surfaces(run: Run): Record<string, string> {
  const { site } = run;
  const storm = { name: "rain", run, ways: waysOut(run) };
  const reader = readerOf("en-GB", site.units);
  const picture = ({ answer, description, layout }: ReturnType<typeof levelFigure>): string => (
    [answer, description, ...layout.annotations.map(({ text }) => text)].join("\n")
  );
  return {
    answer: answerSentence(run),
    capacity: capacitySentence(site),
    notes: [...site.notes, ...run.notes].join("\n"),
    exits: exits(site).map(({ level }) => level.toFixed(3)).join("\n"),
    "level list": levelList(site).rows.map(({ level }) => level.toFixed(3)).join("\n"),
    crew: crewPaper(site, reader).map(({ body }) => body.markup).join("\n"),
    cautions: JSON.stringify(cautionList(site, siting(site))),
    levels: picture(levelFigure(run)),
    "section at the peak": picture(sectionFigure(run, run.peaks["chamberBank"]!.time)),
    // the table of levels hour by hour is the run itself
    report: stormSection(storm, { index: 0, isAlone: true, isOnTop: false }).markup.replace(/<details[^]*?<\/details>|<svg[^]*?<\/svg>/g, ""),
    "hangs on": hangsOnPart([storm]).section.markup,
    owner: ownerPaper(run, "rain", reader).map(({ body }) => body.markup).join("\n"),
  };
}

type Json = Readonly<Record<string, unknown>>;

/** What lies under a box's floor where the file does not say: its wall's 75 mm and a bed of 100 mm, as the order list has them. */
const BOX_UNDER = 0.175;
/** the bed under a solid pipe where the file does not say, as the order list has it */
const PIPE_BED = 0.1;

const metres = (text: unknown): number => Number(String(text).split(" ")[0]);
const part = (of: Json | undefined, key: string): Json | undefined => of?.[key] as Json | undefined;
const read = (of: Json | undefined, key: string, otherwise = 0): number => (of?.[key] === undefined ? otherwise : metres(of[key]));

/** Every level of a file, and the few that follow from a level and a length of one part. */
function levelsOf(json: Json): number[] {
  const given = [...JSON.stringify(json).matchAll(/"(-?[\d.]+) m"/g)].map(([, number]) => Number(number)).filter((number) => number > 1000);
  const written: unknown = json["settlingBox"] ?? [];
  const boxes = (Array.isArray(written) ? written : [written]) as readonly Json[];
  const [bank, trench, emitter, hollow] = ["chamberBank", "overflowTrench", "emitter", "lowSpot"].map((key) => part(json, key));
  const floor = read(bank, "floor");
  const base = floor + read(part(bank, "stone"), "base");
  const chambers = (bank!["chambers"] as readonly Json[]).map((chamber) => base + read(chamber, "height"));
  const sill = Math.max(...[read(emitter, "crest"), read(emitter, "tailwater")], emitter?.["dischargesTo"] === "lowSpot" ? read(hollow, "floor") : 0);
  const pipe = part(trench, "pipe");
  const [outside, inside] = [read(pipe, "outsideDiameter"), read(pipe, "insideDiameter")];
  const along = [read(trench, "floor"), read(trench, "floor") - read(trench, "fall")];
  const ground = part(trench, "ground");
  const segments = Number(trench?.["segments"] ?? 1);
  const [high, low] = typeof ground === "object" ? [read(ground, "high"), read(ground, "low")] : [0, 0];
  const middles = Array.from({ length: segments }, (_, i) => high + ((low - high) * (i + 0.5)) / segments);
  const [stoneTop, trenchTop] = [floor + read(part(bank, "stone"), "depth"), read(trench, "floor") + read(part(trench, "stone"), "depth")];
  const inlet = part(trench, "inlet");
  const pipes = [...boxes.map((box) => part(box, "outlet")), ...(inlet === undefined ? [] : [inlet])];
  const pipeEnds = pipes.flatMap((each) => [read(each, "invert"), read(each, "outletInvert", read(each, "invert"))]);
  return [
    // floors under the beds of pipes, and where a pipe has to lie whose crown stands over stone or chambers
    ...pipeEnds.map((level) => level - PIPE_BED),
    ...pipes.flatMap((each) => [stoneTop, Math.max(...chambers), trenchTop].map((top) => top - read(each, "diameter"))),
    ...given, ...middles, base, ...chambers, stoneTop,
    ...along.flatMap((level) => [
      level, level + read(part(trench, "stone"), "depth"), level + read(pipe, "bedding") + (outside - inside) / 2,
    ]),
    sill, sill + read(emitter, "opensAtHead"), sill + read(emitter, "closesAtHead"),
    ...boxes.map((box) => read(box, "floor") - BOX_UNDER),
  ];
}

/** Where water stands when something is told of it: in this run, after it, and in the runs that are told beside it. */
function waterLevels(run: Run): number[] {
  const moments = [0, run.until, ...run.events.map(({ time }) => time), ...stateMoments(run).map(({ time }) => time)];
  const times = [...moments, ...Object.values(run.peaks).map(({ time }) => time)];
  const drained = drainTime(run);
  const beside = [besideSealed(run).sealed, ...(besidePaths(run) ?? []).map((each) => each.run)];
  return [
    // groundwater with its mound, as the section has it
    groundwaterAt(run, run.peaks["chamberBank"]!.time),
    ...run.bodies.flatMap(({ name }) => [run.peaks[name]!.level, ...times.map((time) => run.level(name, time))]),
    ...(drained === null ? [] : [drained.level, drained.restLevel]), ...beside.map(({ peaks }) => peaks["chamberBank"]!.level),
  ];
}
