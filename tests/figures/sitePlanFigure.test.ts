import type { Config, Data, Layout } from "plotly.js-dist-min";
import { describe, expect, test } from "vitest";
import type { Figure, LineTrace } from "../../lib/figures/figure.ts";
import { placeAround, type AroundWish, type SpotBox } from "../../lib/figures/placeAround.ts";
import { rasterOutline } from "../../lib/figures/planStrokes.ts";
import { sitePlanFigure } from "../../lib/figures/sitePlanFigure.ts";
import { planFrame } from "../../lib/figures/planFrame.ts";
import { textWidth } from "../../lib/figures/textWidth.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { roomLeft } from "../../lib/plan/roomLeft.ts";
import type { Site } from "../../lib/site/site.ts";
import { siting } from "../../lib/plan/siting.ts";
import { featureKinds } from "../../lib/site/surroundings.ts";
import { changed, demo, fixture } from "../site/siteFiles.ts";

const copperbeech = readSite(demo("copperbeech-lane"));
const linden = readSite(demo("linden-row"));
const sites = [["in feet", copperbeech], ["in metres, the pit turned", linden]] as const;
const widths = [288, 328, 360, 670, 1080];

const found = new Map([copperbeech, linden].map((site) => [site, { siting: siting(site), room: roomLeft(site, { step: 0.5 }) }]));

function figureOf(site: Site, width: number): Figure {
  return sitePlanFigure(site, { width, ...found.get(site) })!;
}

function traces({ data }: Figure, name: string): LineTrace[] {
  return data.filter((trace): trace is LineTrace => trace.type === "scatter" && trace.name === name);
}

function words({ layout }: Figure): string[] {
  return layout.annotations.map(({ text }) => text.replace(/<\/?b>/g, "").replace(/<br>/g, " "));
}

describe.each(sites)("the plan of a lot %s", (_, site) => {
  test("is plain data that plotly takes, at every width", () => {
    for (const width of widths) {
      const figure = figureOf(site, width);
      const accepted: [Data[], Partial<Layout>, Partial<Config>] = [figure.data, figure.layout, figure.config];
      expect(JSON.parse(JSON.stringify(accepted))).toEqual(accepted);
      expect(figure.data.flatMap(({ x, y }) => [...x, ...y]).every((value) => value === null || Number.isFinite(value))).toBe(true);
    }
  });

  test("has one scale east and north, at every width", () => {
    for (const width of widths) {
      const { layout: { xaxis, yaxis, margin, height } } = figureOf(site, width);
      const across = (width - margin.l - margin.r) / (xaxis.range![1] - xaxis.range![0]);
      const up = (height - margin.t - margin.b) / (yaxis.range![1] - yaxis.range![0]);
      // The height is a whole number of pixels.
      expect(Math.abs(across / up - 1)).toBeLessThan(1.5 / height);
      expect(yaxis).toMatchObject({ scaleanchor: "x" });
    }
  });

  test("names every part, and no two texts meet or leave the picture", () => {
    for (const width of widths) {
      const figure = figureOf(site, width);
      expect(words(figure).some((text) => text.includes("without room for a name"))).toBe(false);
      const boxes = textBoxes(figure, width);
      for (const [i, a] of boxes.entries()) {
        expect(a.left >= 0 && a.right <= width, `${a.text} at ${width}`).toBe(true);
        for (const b of boxes.slice(i + 1)) expect(overlap(a, b), `${a.text} on ${b.text} at ${width}`).toBe(false);
      }
    }
  });

  test("draws the pit at its size and place", () => {
    const foot = site.units === "us" ? 0.3048 : 1;
    const [pit] = traces(figureOf(site, 670), "pit");
    const corners = pit!.x.map((x, i) => [x * foot, pit!.y[i]! * foot] as const);
    const sides = corners.slice(1).map(([x, y], i) => Math.hypot(x - corners[i]![0], y - corners[i]![1]));
    const { length, width } = site.chamberBank;
    [length, width, length, width].forEach((side, i) => expect(sides[i]).toBeCloseTo(side, 3));
    const { at } = site.surroundings!.works!.pit;
    expect(corners.slice(0, 4).reduce((sum, [x]) => sum + x / 4, 0)).toBeCloseTo(at[0], 3);
    expect(corners.slice(0, 4).reduce((sum, [, y]) => sum + y / 4, 0)).toBeCloseTo(at[1], 3);
  });
});

function textBoxes({ layout }: Figure, width: number): (SpotBox & { readonly text: string })[] {
  const { annotations, xaxis, yaxis, margin } = layout;
  const scale = (width - margin.l - margin.r) / (xaxis.range![1] - xaxis.range![0]);
  return annotations.map(({ text, x, y, xanchor, ax = 0, ay = 0, font: { size } }) => {
    const lines = text.replace(/<\/?b>/g, "").replace(/&lt;/g, "<").split("<br>");
    const wide = Math.max(...lines.map((line) => textWidth(line, size, text.includes("<b>"))));
    const middle = margin.l + (x - xaxis.range![0]) * scale + ax + (xanchor === "left" ? wide / 2 : xanchor === "right" ? -wide / 2 : 0);
    const height = (y - yaxis.range![0]) * scale - ay;
    const half = (lines.length * size) / 2;
    return { text, left: middle - wide / 2, right: middle + wide / 2, bottom: height - half, top: height + half };
  });
}

function overlap(a: SpotBox, b: SpotBox): boolean {
  return a.left < b.right && b.left < a.right && a.bottom < b.top && b.bottom < a.top;
}

describe("the answer of a plan", () => {
  test("is the nearest critical distance, in its title with the site and what is hatched", () => {
    const figure = figureOf(copperbeech, 960);
    expect(figure.answer).toBe("The overflow trench lies 5.4 ft from the boundary, 4.6 ft nearer than Minnesota asks (10 ft).");
    const title = figure.layout.title!.text.replace(/<br>/g, " ").replace(/\u00a0/g, " ");
    expect(title).toContain(`<b>${figure.answer}</b>`);
    expect(title).toMatch(/Copperbeech Lane, back lawn · to scale, north up · hatched: where such a pit keeps every distance asked, [\d.]+ % of the lot/);
    expect(sitePlanFigure(copperbeech, { title: false, ...found.get(copperbeech) })!.layout.title).toBeUndefined();
    expect(figure.description).toContain("What others ask for; your local code and a licensed practitioner decide.");
  });

  test("says where nothing is nearer than asked, and where no rule speaks", () => {
    const rules = [{ name: "septic", from: "septic", distance: "35 ft", says: "Minnesota", source: "", status: "read" }] as const;
    expect(sitePlanFigure(copperbeech, { siting: siting(copperbeech, { rules }), room: null })!.answer)
      .toBe("Pit and trench are nowhere nearer than asked: the tightest is 37.2 ft from the pit to the septic field, 2.2 ft farther than Minnesota asks (35 ft).");
    expect(sitePlanFigure(copperbeech, { siting: siting(copperbeech, { rules: [] }), room: null })!.answer)
      .toBe("The nearest thing given is the buried service “gas”, 5.2 ft from the pit; no rule asked speaks of it.");
  });

  test("says where the pit lies on a thing or beyond the lot, and weighs by the share of what is asked", () => {
    const answerAt = (east: string, north: string): string => {
      const site = readSite(changed(demo("copperbeech-lane"), "surroundings.works.pit.at", [east, north]));
      return sitePlanFigure(site, { room: null })!.answer;
    };
    expect(answerAt("60 ft", "40 ft")).toBe("The pipe from the settling box lies on the building “house”, 20.1 ft to 29.2 ft from its upper end; "
      + "the pipe to the trench lies on the building “house”, 0 ft to 16.8 ft from its upper end. The pit lies on the building “house”; Minnesota asks to keep 10 ft from it.");
    expect(answerAt("100 ft", "90 ft")).toBe("The buried service “gas” crosses the pipe from the settling box 14.9 ft from its upper end; "
      + "the buried service “gas” crosses the pipe to the trench 3.29 ft from its upper end. The pit lies across or beyond the boundary; Minnesota asks to keep 10 ft from it.");
    // 5.4 ft of 10 ft from the trench to the boundary are a smaller share than 29 ft of 35 ft from the pit to the septic field.
    expect(answerAt("69.6 ft", "129 ft")).toBe("The overflow trench lies 5.4 ft from the boundary, 4.6 ft nearer than Minnesota asks (10 ft).");
  });

  test("is drawn with what is asked where it is more, and lists what has no place", () => {
    expect(words(figureOf(copperbeech, 1080))).toEqual(expect.arrayContaining([
      "5.4 ft &lt; 10 ft", "11.4 ft", "37.2 ft", "5.2 ft", "house", "septic field", "boundary", "Copperbeech Lane", "copper beech", "buried: gas",
      "low point", "pit", "settling box", "trench", "emitter", "N", "0", "20 ft", "Not drawn, given by distance: the well “neighbour's well” 130 ft from the pit.",
    ]));
  });
});

test("what a hole crosses is said first, marked with a cross, and the pipes run from the box by the pit to the trench", () => {
  const site = readSite(fixture("tannery-box"));
  const figure = sitePlanFigure(site, { width: 670, room: null })!;
  expect(figure.answer).toBe("The buried service “gas main” crosses the hole for the settling box. "
    + "The overflow trench lies 7.3 ft from the slope “bank”, 192.7 ft nearer than Minnesota asks (200 ft).");
  const [cross, ...others] = traces(figure, "crossing");
  expect(others).toEqual([]);
  // The main runs along x = 36 ft through the box's hole, 5.5 ft square about (36, 50).
  expect(cross!.x.filter((x) => x !== null).reduce((sum, x, _, all) => sum + x / all.length, 0)).toBeCloseTo(36, 0);
  const pipes = traces(figure, "pipe").map(({ x, y }) => x.map((each, i) => [each, y[i]!] as const));
  expect(pipes).toHaveLength(2);
  const [[start], [, end]] = pipes as [(readonly [number, number])[], (readonly [number, number])[]];
  expect(Math.hypot(start![0] - 36, start![1] - 50)).toBeLessThan(2.5);
  expect(end).toEqual([72, 66]);
  expect(traces(figure, "hole")).toHaveLength(1);
});

test("holes that the plan does not place are named under it", () => {
  const site = readSite(changed(fixture("tannery-box"), "surroundings.works.boxes", []));
  expect(words(sitePlanFigure(site, { width: 1080, room: null })!)).toContain("Not on the plan: the hole for the settling box, the pipe from the settling box.");
});

test("test holes are drawn where they were dug, named, and told where they have no place", () => {
  const perc = { kind: "percolationHole", diameter: "8 in", waterDepth: "12 in", minutesPerInch: 30 };
  const site = readSite(changed(demo("copperbeech-lane"), "soil.layers", [{
    tests: [{ name: "west", at: ["60 ft", "80 ft"], test: perc }, { name: "north", at: ["78 ft", "104 ft"], test: perc }, { name: "lane", fromPit: "50 ft", test: perc }],
  }]));
  const figure = sitePlanFigure(site, { width: 960, room: null })!;
  const middles = traces(figure, "test hole").filter(({ fill }) => fill === "toself").map(({ x, y }) => (
    [x, y].map((values) => (Math.min(...values as number[]) + Math.max(...values as number[])) / 2)));
  expect(middles.map((point) => point.map((each) => Math.round(each * 10) / 10))).toEqual([[60, 80], [78, 104]]);
  expect(words(figure)).toEqual(expect.arrayContaining(["test hole west", "test hole north", "Test holes without a place on the plan: lane 50 ft from the pit."]));
});

test("a site without a plan has no picture of one", () => {
  expect(sitePlanFigure(readSite(fixture("fernhollow")))).toBeNull();
  expect(sitePlanFigure(readSite(changed(fixture("fernhollow"), "surroundings", { features: [{ kind: "well", distance: "60 ft" }] })))).toBeNull();
});

test("a plan with every kind of thing, far and near, in and beside its frame, is drawn whole without a lot", () => {
  const at = (i: number): string[] => [`${(i % 5) * 9} m`, `${Math.floor(i / 5) * 9} m`];
  const kinds = Object.keys(featureKinds).filter((kind) => kind !== "boundary");
  const features = kinds.flatMap((kind, i) => [
    { kind, at: at(i) }, { kind, line: [at(i), ["500 m", "60 m"]] }, { kind, outline: [at(i), at(i + 6), at(i + 5)] },
  ]);
  const site = readSite(changed(fixture("fernhollow"), "surroundings", { works: { pit: { at: ["20 m", "12 m"] } }, features }));
  for (const width of [288, 1080]) {
    const figure = sitePlanFigure(site, { width })!;
    expect(figure.data.flatMap(({ x, y }) => [...x, ...y]).every((value) => value === null || Number.isFinite(value))).toBe(true);
    // 42 names do not all find room in a narrow one; those that do not are listed under it.
    const boxes = textBoxes(figure, width).filter(({ text }) => !/^(Drawn|Not drawn)/.test(text));
    expect(boxes.length).toBeGreaterThan(20);
  }
});

test("hostile names are shown as text", () => {
  const name = `<script>alert(1)</script>"'&%{x}<a href="javascript:1">`;
  const file = changed(changed(demo("copperbeech-lane"), "surroundings.features[1].name", name), "surroundings.features[7].name", name);
  const site = readSite(changed(changed(file, "name", name), "surroundings.rules", [{ from: "tree", distance: "90 ft", says: name }]));
  const figure = sitePlanFigure(site)!;
  const texts = [figure.layout.title!.text, ...figure.layout.annotations.map((each) => each.text), ...figure.data.map((each) => each.name)];
  for (const text of texts) {
    expect(text.replace(/<\/?b>|<br>|<span style="font-size:[\d.]+px;color:#[0-9a-f]+">|<\/span>/g, "")).not.toMatch(/[<>]|%\{/);
  }
});

describe("the outline of a raster", () => {
  const raster = (rows: readonly string[]): Parameters<typeof rasterOutline>[0] => ({
    corner: [10, 20], step: 2, columns: rows[0]!.length, rows: rows.length,
    filled: Uint8Array.from(rows.toReversed().join(""), (sign) => (sign === "#" ? 1 : 0)),
  });
  /** twice the signed area: above 0 where the ring runs against the clock */
  const signed = (ring: readonly (readonly [number, number])[]): number => ring.reduce((sum, [x, y], i) => {
    const [nextX, nextY] = ring[(i + 1) % ring.length]!;
    return sum + (x * nextY - nextX * y) / 2;
  }, 0);

  test("turns only at corners, against the clock, and the other way round a hole", () => {
    const rings = rasterOutline(raster(["###", "#.#", "###"]));
    expect(rings.map((ring) => [ring.length, signed(ring)]).sort((a, b) => b[1]! - a[1]!)).toEqual([[4, 36], [4, -4]]);
    expect(rasterOutline(raster(["..", ".."]))).toEqual([]);
    expect(rasterOutline(raster(["#"]))[0]!.toSorted((a, b) => a[0] - b[0] || a[1] - b[1])).toEqual([[10, 20], [10, 22], [12, 20], [12, 22]]);
  });

  test("encloses as much as the cells, also where they meet at corners only", () => {
    for (const rows of [["#.", ".#"], ["#.#.", ".##.", "##.#"], ["#####", "#.#.#", "##.##"]]) {
      const cells = rows.join("").replaceAll(".", "").length;
      expect(rasterOutline(raster(rows)).reduce((sum, ring) => sum + signed(ring), 0)).toBeCloseTo(4 * cells, 9);
    }
  });
});

describe("labels placed around what they name", () => {
  const panel = { width: 200, height: 100 };
  const wish = (x: number, y: number): AroundWish => ({ width: 40, height: 12, on: [], around: [[x, y]], pull: 1 });

  test("never meet and never leave the panel; those for which there is no room are left out", () => {
    const crowd = Array.from({ length: 40 }, (_, i) => wish((37 * i) % 200, (53 * i) % 100));
    const places = placeAround(crowd, panel, []).filter((place) => place !== null).map(({ box }) => box);
    expect(places.length).toBeGreaterThan(12);
    expect(places.length).toBeLessThan(40);
    for (const [i, a] of places.entries()) {
      expect(a.left >= 0 && a.right <= 200 && a.bottom >= 0 && a.top <= 100).toBe(true);
      for (const b of places.slice(i + 1)) expect(overlap(a, b)).toBe(false);
    }
  });

  test("stand beside their spot where it is free, and on the side where no line runs", () => {
    const [free] = placeAround([wish(100, 50)], panel, []);
    expect(free!.box.left).toBeCloseTo(105, 9);
    expect(free!.from).toBeNull();
    const [beside] = placeAround([wish(100, 50)], panel, [[[120, 0], [120, 100]]]);
    expect(beside!.box.right).toBeCloseTo(95, 9);
  });

  test("are joined to their spot where they stand far off", () => {
    const wide: AroundWish = { width: 100, height: 60, on: [[60, 50]], around: [], pull: 1 };
    const [, last] = placeAround([wide, wish(60, 50)], panel, []);
    expect(last!.from).toEqual([60, 50]);
  });
});

test("the frame takes in what lies a little outside the lot, not what lies far off", () => {
  const file = changed(demo("linden-row"), "surroundings.features[7]", { kind: "well", at: ["300 m", "10 m"] });
  const frame = planFrame(readSite(file), 600, 700);
  const [corner] = [frame.spot([33, 26]), frame.spot([0, 0])];
  expect(corner[0]).toBeGreaterThan(500);
  expect(frame.spot([300, 10])[0]).toBeGreaterThan(frame.width);
  expect(frame.spot([10, -2.5])[1]).toBeGreaterThan(0);
});
