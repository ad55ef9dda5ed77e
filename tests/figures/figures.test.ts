import type { Config, Data, Layout } from "plotly.js-dist-min";
import { describe, expect, test } from "vitest";
import { answerSentence } from "../../lib/figures/answer.ts";
import type { BarTrace, Figure, Trace } from "../../lib/figures/figure.ts";
import { flowFigure, peakFlows } from "../../lib/figures/flowFigure.ts";
import { headBudgetFigure } from "../../lib/figures/headBudgetFigure.ts";
import { ledgerFigure } from "../../lib/figures/ledgerFigure.ts";
import { levelFigure } from "../../lib/figures/levelFigure.ts";
import { ink, lines } from "../../lib/figures/look.ts";
import { textWidth } from "../../lib/figures/textWidth.ts";
import { ledgerSentence, waterBook } from "../../lib/figures/waterBook.ts";
import { percentText } from "../../lib/text/words.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { networkOf } from "../../lib/simulate/assemble.ts";
import { levelAt } from "../../lib/works/storageTable.ts";
import { expectClose } from "../closeTo.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { demo } from "../site/siteFiles.ts";
import { drawnRun } from "./drawnRun.ts";

const runs = (["library-3in", "library-4in", "low-point-3in", "depot-block-1h"] as const).map((id) => [id, drawnRun(id)] as const);
const figures = { levelFigure, flowFigure, ledgerFigure, headBudgetFigure };
const widths = [288, 328, 670, 1080];

const run = drawnRun("library-3in");
const FOOT = 0.3048;

function trace(figure: Figure, name: string): Trace {
  return figure.data.find((each) => each.name === name)!;
}

function bars(figure: Figure): BarTrace[] {
  return figure.data.filter((each) => each.type === "bar");
}

/** Everything a figure says, one text a line. */
function texts(figure: Figure): string[] {
  return [figure.layout.title?.text ?? "", ...figure.layout.annotations.map(({ text }) => text), ...figure.data.flatMap(({ name, hovertemplate }) => [name, hovertemplate ?? ""])];
}

describe.each(Object.entries(figures))("%s", (_, figureOf) => {
  test("is what plotly takes", () => {
    const { data, layout, config } = figureOf(run);
    const accepted: [Data[], Partial<Layout>, Partial<Config>] = [data, layout, config];
    expect(accepted[0].length).toBeGreaterThan(0);
  });

  test("is plain data, without NaN or infinity", () => {
    for (const [, each] of runs) {
      const figure = figureOf(each);
      expect(JSON.parse(JSON.stringify(figure))).toEqual(figure);
      const values = figure.data.flatMap(({ x, y }) => [...x, ...y]);
      expect(values.every((value) => value === null || Number.isFinite(value))).toBe(true);
    }
  });

  test("has its answer as its title, or none where the page has it", () => {
    const figure = figureOf(run, { storm: "3 in in a day" });
    const title = figure.layout.title!.text.replace(/<br>/g, " ").replace(/\u00a0/g, " ");
    expect(title).toContain(`<b>${figure.answer}</b>`);
    expect(title).toContain("Fernhollow reading room, rear lawn · 3 in in a day");
    expect(figureOf(run, { title: false }).layout.title).toBeUndefined();
  });

  test("shows hostile names as text", () => {
    const name = `<script>alert(1)</script>"'&\u202e%{x}<a href="javascript:1">`;
    const box = run.site.settlingBoxes[0]!;
    const settlingBoxes = [{ ...box, name }, { ...box, name: "second" }];
    const site = { ...run.site, name, watchLevels: [{ name, level: 29.9 }], settlingBoxes };
    const rename = (body: string): string => (body === "settlingBox" ? name : body);
    const real = (body: string): string => (body === name || body === "second" ? "settlingBox" : body);
    const hostile: Run = {
      ...run, bodies: run.bodies.map(({ name, kind }) => ({ name: rename(name), kind })), site,
      level: (body, time) => run.level(real(body), time),
      levels: (body, times) => run.levels(real(body), times),
      peaks: { ...Object.fromEntries(Object.entries(run.peaks).map(([body, peak]) => [rename(body), peak])), second: run.peaks["settlingBox"]! },
    };
    const said = texts(figureOf(hostile, { storm: name }));
    const lawful = /<\/?b>|<br>|<span style="[-\w:#;.]+">|<\/span>|<extra><\/extra>|%\{(?:x|y(?::[.~\w]+)?|customdata)\}/g;
    for (const text of said) {
      const rest = text.replace(lawful, "");
      expect(rest).not.toMatch(/[<>]|%\{|\u202e/);
    }
  });
});

describe("the level picture", () => {
  test.each(runs)("of %s names its still levels at the right edge without a collision, at every width", (_, each) => {
    for (const width of widths) {
      const { layout } = levelFigure(each, { width });
      const [low, high] = layout["yaxis2"]!.range!;
      const [bottom, top] = layout["yaxis2"]!.domain!;
      const pixels = (layout.height - layout.margin.t - layout.margin.b) * (top - bottom);
      const labels = layout.annotations.filter(({ xref, yref }) => xref === "paper" && yref === "y2");
      const heights = labels
        .map(({ y, font }) => ({ at: ((y - low) / (high - low)) * pixels, size: font.size * 1.2 }))
        .sort((a, b) => a.at - b.at);
      heights.slice(1).forEach(({ at, size }, i) => expect(at - heights[i]!.at).toBeGreaterThanOrEqual(size - 0.01));
      for (const { text, font, xshift } of labels) {
        expect(xshift! + textWidth(text, font.size)).toBeLessThanOrEqual(layout.margin.r);
      }
    }
  });

  test("draws every body within a millimetre of the run", () => {
    for (const [name, body] of [["settling box", "settlingBox"], ["pit", "chamberBank"], ["trench", "overflowTrench"]] as const) {
      const { x, y } = trace(levelFigure(run), name);
      x.forEach((hour, i) => {
        // Four decimals of a foot and of an hour, at slopes of a foot an hour and less
        if (y[i] !== null) expect(Math.abs(y[i]! * FOOT - run.level(body, Math.min(run.until, hour * 3600)))).toBeLessThan(0.001);
      });
      expect(x.length).toBeLessThanOrEqual(600);
    }
  });

  test("has no line where a body is dry", () => {
    const { x, y } = trace(levelFigure(run), "trench");
    const level = (hour: number): number | null => y[x.findIndex((each) => each >= hour)]!;
    expect([level(5), level(60)]).toEqual([null, null]);
    expect(level(20)).toBeGreaterThan(95.6);
  });

  test("ends when the water has come to rest", () => {
    // dry at 56 h of 72 h, and a step of the axis more
    expect(levelFigure(run).layout.xaxis.range).toEqual([0, 60]);
  });

  test("has a bar for each firing, as long as it lasts", () => {
    const { x, width } = bars(levelFigure(run))[0]!;
    run.firings.forEach(({ start, end }, i) => {
      expect(x[i]! - width[i]! / 2).toBeCloseTo(start / 3600, 9);
      expect(width[i]).toBeCloseTo((end! - start) / 3600, 9);
    });
    expect(x.length).toBe(run.firings.length);
  });

  test("names a groundwater far below at its foot, and one that is near on its line", () => {
    const label = (each: Run): string => levelFigure(each).layout.annotations.find(({ text }) => text.startsWith("groundwater"))!.text;
    expect(label(run)).toBe("groundwater 86.00 ↓");
    expect(label(drawnRun("low-point-3in"))).toBe("groundwater 94.60");
  });

  test("says in words what it shows", () => {
    expect(levelFigure(run).description).toBe(
      `Water level against hours since the rain began. ${answerSentence(run)} settling box: at the start 97.20 ft, highest 97.65 ft at hour 11.9, at the end 97.20 ft; `
      + "pit: at the start dry, highest 97.37 ft at hour 12, at the end dry; trench: at the start dry, highest 97.26 ft at hour 12, at the end dry.",
    );
  });
});

// runs of the stepper: the samples above have no true flows
const stepped = (["copperbeech-lane", "linden-row", "sedge-hollow", "hazelbank-lower-bench"] as const)
  .map((name) => [name, simulate(readSite(demo(name)), designStorm({ pattern: "nrcs-ii", depth: "75 mm" }))] as const);

describe("the flow picture", () => {
  test.each(stepped)("of %s ends at the ledger's own figures", (_, each) => {
    const { ledger, seeped } = each;
    const unit = each.site.units === "us" ? 0.003785411784 : 1; // a US gallon is 231 cubic inches
    const end = (name: string): number => trace(flowFigure(each), name).y.at(-1)! * unit;
    const out = ledger.inflow + ledger.storedStart - ledger.storedEnd - seeped;
    const tolerance = { absolute: 1e-4 * unit, relative: 1e-6, because: "a picture keeps four decimals" };
    expectClose(end("ran in"), ledger.inflow, tolerance);
    expectClose(end("soil"), seeped, tolerance);
    if (out > 1e-4) expectClose(end("soil and out"), seeped + out, tolerance);
  });

  test.each(stepped)("of %s leaves a gap that is what the works hold by their geometry", (_, each) => {
    const unit = each.site.units === "us" ? 0.003785411784 : 1;
    const figure = flowFigure(each);
    const came = trace(figure, "ran in");
    const gone = figure.data.find(({ name }) => name === "soil and out") ?? trace(figure, "soil");
    const { bodies } = networkOf(each.site);
    const volumeAt = (storage: (typeof bodies)[number]["storage"], level: number): number => {
      let [low, high] = [0, 1000];
      for (let i = 0; i < 60; i++) {
        const middle = (low + high) / 2;
        if (levelAt(storage, middle) < level) low = middle;
        else high = middle;
      }
      return low;
    };
    const held = (time: number): number => bodies.reduce((sum, { name, storage }) => sum + volumeAt(storage, each.level(name, time)), 0);
    const most = Math.max(...came.y.map((y, i) => (y! - gone.y[i]!) * unit));
    came.x.forEach((hours, i) => {
      expectClose((came.y[i]! - gone.y[i]!) * unit, held(Math.min(each.until, hours * 3600)) - held(0), {
        absolute: 0.003 * most, because: "hours are written to a ten-thousandth, in which a storm fills a part of the works",
      });
    });
    const { shapes } = figure.layout;
    expect((shapes[0]!.y1! - shapes[0]!.y0!) * unit).toBeGreaterThanOrEqual(most * (1 - 1e-4));
  });

  test("tells each way's largest flow and when it is", () => {
    expect(peakFlows(run)).toMatch(/^At most: running in 94\.2 gal\/min at hour 11\.9; box to pit [\d.]+ gal\/min at hour 12; /);
  });

  test("is drawn of a run of more steps than a call can take arguments", () => {
    const times = Float64Array.from({ length: 200_000 }, (_, i) => (i / 199_999) * run.until);
    expect(flowFigure({ ...run, times }).answer).toMatch(/^The works hold most at hour 12/);
  });

  test("has its hours in line with the level picture", () => {
    for (const width of widths) {
      const [levels, flows] = [levelFigure(run, { width }).layout, flowFigure(run, { width }).layout];
      expect([flows.margin.l, flows.margin.r, flows.xaxis.range]).toEqual([levels.margin.l, levels.margin.r, levels.xaxis.range]);
    }
  });
});

describe("the ledger picture", () => {
  test.each(runs)("of %s lays bars end to end, both rows to the same end", (_, each) => {
    const data = bars(ledgerFigure(each));
    const { cameIn, wentTo, total } = waterBook(each);
    const unit = each.site.units === "us" ? 0.003785411784 : 1; // a US gallon is 231 cubic inches
    const ends = data.map(({ base, x }) => base![0]! + x[0]!);
    const starts = data.map(({ base }) => base![0]!);
    for (const [from, to] of [[0, cameIn.length], [cameIn.length, cameIn.length + wentTo.length]] as const) {
      expect(starts[from]).toBe(0);
      for (let i = from + 1; i < to; i++) expect(starts[i]).toBeCloseTo(ends[i - 1]!, 3);
      expect(ends[to - 1]!).toBeCloseTo(total / unit, 1);
    }
  });

  test("counts groundwater that comes in among what came in", () => {
    const { ledger } = run;
    const rising: Run = { ...run, ledger: { ...ledger, bankSeepage: -1, storedEnd: ledger.storedEnd + ledger.bankSeepage + 1 } };
    const { cameIn, wentTo, total } = waterBook(rising);
    expect(cameIn.at(-1)).toMatchObject({ key: "bankSeepage", words: "groundwater into the pit", volume: 1 });
    expect(wentTo.reduce((sum, { volume }) => sum + volume, 0)).toBeCloseTo(total, 9);
  });

  test("rounds its shares so that each side comes to 100 and the sentence's parts are sums of the rows", () => {
    for (const [, each] of runs) {
      const book = waterBook(each);
      for (const side of [book.cameIn, book.wentTo]) expect(side.reduce((sum, { percent }) => sum + percent, 0)).toBe(100);
      const soil = book.wentTo.filter(({ key }) => /Seepage$|^weep$/.test(key)).reduce((sum, { percent }) => sum + percent, 0);
      expect(ledgerSentence(each)).toContain(`${soil} % goes into the soil`);
      for (const { percent, share } of book.wentTo) expect(Math.abs(percent - 100 * share)).toBeLessThan(1);
    }
  });

  test("says of what its shares are, water that stood there before included, and where it stood", () => {
    // volumes of the independent solver's run, in gallons of 231 cubic inches
    expect(ledgerSentence(run)).toMatch(/^Of 4670 gal \(47\.7 gal of it stood there before\), 77 % goes into the soil, /);
    expect(waterBook(run).cameIn.map(({ words }) => words)).toEqual(["ran in from the rain", "stood there before (sump of the box)"]);
    expect(waterBook(drawnRun("low-point-3in")).cameIn[1]!.words).toBe("stood there before (pit, sump of the box)");
  });

  test("never rounds a little to nothing, nor almost all to all", () => {
    expect([percentText(0.002), percentText(0.998), percentText(1)])
      .toEqual(["under 1 %", "over 99 %", "100 %"]);
  });

  test("keeps every name within the picture, at every width", () => {
    for (const [, each] of runs) {
      for (const width of widths) {
        const { layout } = ledgerFigure(each, { width });
        const plot = width - layout.margin.l - layout.margin.r;
        for (const { text, x, font } of layout.annotations) {
          const [name, amount] = text.replace("<b>", "").split("</b>");
          const wide = textWidth(name!, font.size, true) + textWidth(amount!, font.size);
          expect((x / layout.xaxis.range![1]) * plot + wide).toBeLessThanOrEqual(Math.max(plot, wide + 1));
        }
      }
    }
  });
});

describe("the look", () => {
  // Relative luminance and contrast as in WCAG 2.1, from memory
  const luminance = (color: string): number => {
    const [r, g, b] = [1, 3, 5].map((at) => {
      const part = parseInt(color.slice(at, at + 2), 16) / 255;
      return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
  };
  const contrast = (color: string): number => 1.05 / (luminance(color) + 0.05);

  test.each([...Object.entries(lines).map(([tone, { color }]) => [tone, color] as const), ["text", ink.text] as const, ["soft text", ink.soft] as const])(
    "sets %s in a colour that stands 4.5 : 1 or better on white", (_, color) => {
      expect(contrast(color)).toBeGreaterThanOrEqual(4.5);
    },
  );

  test("never tells bodies apart by colour alone", () => {
    const strokes = (["box", "pit", "trench", "pipe", "lowSpot"] as const).map((tone) => `${lines[tone].dash} ${lines[tone].width}`);
    expect(new Set(strokes).size).toBe(strokes.length);
  });
});
