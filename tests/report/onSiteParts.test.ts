import { describe, expect, test } from "vitest";
import { cautions } from "../../lib/report/cautions.ts";
import type { Markup } from "../../lib/report/markup.ts";
import { levelPart } from "../../lib/report/levelPart.ts";
import { orderPart } from "../../lib/report/orderPart.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { changed, demo } from "../site/siteFiles.ts";

const lane = readSite(demo("copperbeech-lane"));
const row = readSite(demo("linden-row"));

function text({ markup }: Markup): string {
  return markup.replace(/<[^>]+>/g, " ").replace(/&#39;/g, "'").replace(/&#34;/g, '"').replace(/\s+/g, " ");
}

/** What stands in the cells of the row of this name, the first one at or after a heading. */
function cells(part: Markup, heading: string, name: string): string[] {
  const from = part.markup.slice(part.markup.indexOf(`>${heading}<`));
  const line = from.slice(from.indexOf(`>${name}</th>`));
  return [...line.slice(0, line.indexOf("</tr>")).matchAll(/<td[^>]*>(.*?)<\/td>/g)].map(([, cell]) => text({ markup: cell! }));
}

describe("the level part", () => {
  test("shows a level in feet, as on the staff, below ground and with its fall", () => {
    // 96.45 ft = 96 ft 5.4 in; ground 98.2 ft; 0.15 ft in 12 ft
    expect(cells(levelPart(lane), "pit", "pipe from the box, end")).toEqual(["96.45", `96' 5 3/8"`, `1' 9"`, "1.80 in over 12 ft, 1.25 %", " "]);
    expect(cells(levelPart(lane), "pit", "ground")).toEqual(["98.20", `98' 2 3/8"`, "at ground", "", " "]);
    expect(cells(levelPart(lane), "settling box", "rim")).toEqual(["98.90", `98' 10 3/4"`, "–", "", " "]);
  });

  test("adds what the staff shows from a benchmark", () => {
    const part = levelPart(lane, { benchmark: { level: "98 ft", reading: `1' 6"` } });
    // 99.5 ft - 96.45 ft = 3.05 ft = 3 ft 0.6 in; the slab at 100 ft lies higher
    expect(cells(part, "pit", "pipe from the box, end")[2]).toBe(`3' 0 5/8"`);
    expect(cells(part, "levels to watch", "house slab")[2]).toBe("above the sight");
    expect(text(part)).toContain("The line of sight lies at 99.50 ft");
  });

  test("shows metres once", () => {
    expect(cells(levelPart(row), "emitter", "crest")).toEqual(["62.620", "0.030 m", "", " "]);
    expect(levelPart(row).markup).not.toContain("feet");
  });

  test("begins with whether all descends", () => {
    expect(text(levelPart(lane))).toContain("Levels: one thing does not descend");
    const falling = readSite(changed(demo("copperbeech-lane"), "overflowTrench.inlet.outletInvert", "95.65 ft"));
    expect(text(levelPart(falling))).toContain("Levels: all that has to descend does");
  });

  test("shows names of a file as text", () => {
    const named = readSite(changed(demo("copperbeech-lane"), "watchLevels", [{ name: "<b>&sill", level: "98 ft" }]));
    expect(levelPart(named).markup).toContain("&#60;b&#62;&#38;sill");
    expect(levelPart(named).markup).not.toContain("<b>");
  });
});

describe("the order part", () => {
  test("goes by the working days, cautions first, then what was assumed", () => {
    const headings = [...orderPart(lane).markup.matchAll(/<h3>(.*?)<\/h3>/g)].map(([, heading]) => heading);
    expect(headings).toEqual(["Dig", "Lay", "Fill", "Cover", "Figures the site file does not give", "What this list leaves out"]);
    const said = text(orderPart(lane));
    const digging = ["Buried lines", "Pits", "Spoil"].map((about) => cautions.find((caution) => caution.about === about)!);
    for (const { words } of digging) expect(said.indexOf(words)).toBeGreaterThan(0);
    expect(said.indexOf(digging[0]!.words)).toBeLessThan(said.indexOf(" hole "));
  });

  test("shows yards and short tons in a file in feet, metres and tonnes in one in metres", () => {
    // stone of Copperbeech Lane: 13.5 x 8 x 4 2/3 ft less 4 chambers of 29.5 in by 45 in, 15.99 cu yd; 45 x 1.5 x 1.25 ft less
    // 45 ft of 4 5/8 in pipe, 2.93 cu yd; with 5 % 19.9 cu yd, 26.8 short tons at 100 lb a cubic foot
    const pit = (13.5 * 8 * (14 / 3) - 4 * (Math.PI / 4) * (29.5 / 12) ** 2 * 3.75) / 27;
    const trench = (45 * 1.875 - 45 * (Math.PI / 4) * (4.625 / 12) ** 2) / 27;
    expect(cells(orderPart(lane), "Fill", "stone in the pit")[0]).toBe(`${Number(pit.toFixed(1))} cu yd`);
    expect(cells(orderPart(lane), "Fill", "stone in the trench")[0]).toBe(`${Number(trench.toFixed(2))} cu yd`);
    expect(cells(orderPart(lane), "Fill", "stone to order")).toEqual([
      `${Number((1.05 * (pit + trench)).toFixed(1))} cu yd`, `with 5 % to spare, ${Number((1.05 * (pit + trench) * 1.35).toFixed(1))} short tons`,
    ]);
    expect(text(orderPart(row))).not.toMatch(/cu yd|sq yd|short ton\b/);
    expect(cells(orderPart(row), "Fill", "loads of stone")[1]).toBe("of 12 t");
    expect(cells(orderPart(lane), "Cover", "turf")[1]).toBe("over everything dug");
    expect(text(orderPart(readSite(changed(demo("copperbeech-lane"), "materials", { turfThickness: "0 in" }))))).not.toContain("over everything dug");
  });

  test("says beside each depth which holes are as deep", () => {
    const said = text(orderPart(lane));
    // the pit is 6.1 ft deep, the box's hole 3.8 + 0.25 + 0.33 = 4.38 ft
    expect(said).toContain("5 ft or more Walls shored, shielded or sloped back, save in stable rock; in less depth too, unless a competent person finds no sign of a cave-in. Here: pit. (US OSHA");
    expect(said).toContain("4 ft or more A ladder, stair or ramp in a trench, within 25 ft (7.6 m) of everybody in it. Here: settling box, pit.");
  });

  test("says beside the digging that groundwater stands in the pit", () => {
    const said = text(orderPart(readSite(demo("sedge-hollow"))));
    expect(said).toContain("Water in the pit Groundwater at 41.70 ft stands 18.00 in over the floor of the pit");
    expect(text(orderPart(lane))).not.toContain("Water in the pit");
  });

  test("leaves out the list of assumed figures where there are none", () => {
    const given = {
      stoneDensity: "100 lb/ft^3", stoneSpare: 0.1, stoneLoad: "10 cu yd", soilDensity: "110 lb/ft^3", bulking: 1.2, spoilLoad: "14 ton", fabricLap: "12 in",
      fabricRoll: "15 ft", workingSpace: "1 ft", boxWall: "2 in", boxBase: "4 in", pipeTrenchWidth: "1 ft", pipeBed: "4 in", pipeLength: "10 ft", turfThickness: "0 in",
    };
    const said = text(orderPart(readSite(changed(demo("copperbeech-lane"), "materials", given))));
    expect(said).not.toContain("does not give");
    expect(said).not.toContain("turf");
    expect(said).toContain("of 10 cu yd loose");
  });
});
