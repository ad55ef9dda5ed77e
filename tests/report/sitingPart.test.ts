import { describe, expect, test } from "vitest";
import { cautionList } from "../../lib/report/cautionList.ts";
import { cautions } from "../../lib/report/cautions.ts";
import { sitingPart } from "../../lib/report/sitingPart.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { siting } from "../../lib/site/siting.ts";
import { changed, demo, fixture } from "../site/siteFiles.ts";

const copperbeech = readSite(demo("copperbeech-lane"));

/** A page's words, one space between. */
function textOf(markup: string): string {
  return markup.replace(/<[^>]*>/g, " ").replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code))).replace(/\s+/g, " ");
}

describe("a report's part on what stands around", () => {
  const part = sitingPart(copperbeech)!;
  const text = textOf(part.section.markup);

  test("has the answer, who decides, every distance with who asks and whether that was read, and no verdict", () => {
    for (const words of [
      "The pit lies 15.2 ft from the boundary, 1.2 ft nearer than Buckinghamshire asks (5 m).",
      "What others ask for; your local code and a licensed practitioner decide.",
      "Nearer than some of them ask: the pit to the boundary; the trench to the boundary, the road “Copperbeech Lane”.",
      "Boundary: 15.2 ft from the pit, 4.3 ft from the trench Buckinghamshire boundary 5 m 1.2 ft nearer 12.2 ft nearer read",
      "Minnesota building (recommended) 10 ft 12.2 ft farther 23.7 ft farther read",
      "Minnesota sensitive well, if the well is a sensitive one 100 ft 30 ft farther read",
      "Groundwater at its highest, 84.00 ft: 8.1 ft below the pit's floor",
      "New Jersey base to seasonal high water table 2 ft 6.1 ft farther from memory",
      "Minnesota: Minnesota Stormwater Manual, summary of setback distances, read 2026 (read)",
      "Not looked at, for the file gives nothing to measure to: base to bedrock (required) (Minnesota); retaining wall (Buckinghamshire)",
      "of the lot are left for such a pit",
    ]) expect(text).toContain(words);
    expect(text).not.toMatch(/\b(pass(es|ed)?|fails?|compl(y|ies|iant|iance))\b/i);
  });

  test("has its plan at every width of a report, and a place for it", () => {
    expect(part.pictures.map(({ id, widths }) => [id, widths.map(({ width }) => width)])).toEqual([["site-plan", [288, 328, 358, 420, 560, 670, 820, 1080]]]);
    expect(part.section.markup).toContain(`id="site-plan" role="img"`);
  });

  test("has no picture where there are distances only, and is left out where nothing is given", () => {
    const distances = sitingPart(readSite(changed(fixture("fernhollow"), "surroundings", { features: [{ kind: "well", distance: "60 ft" }] })))!;
    expect(distances.pictures).toEqual([]);
    expect(textOf(distances.section.markup)).toContain("Well: 60 ft from the pit");
    expect(sitingPart(readSite(fixture("fernhollow")))).toBeNull();
  });

  test("shows hostile names as text", () => {
    const name = `<script>alert(1)</script>"'&<img src=x onerror=alert(1)>`;
    const surroundings = { about: name, features: [{ kind: "well", name, distance: "60 ft" }], rules: [{ from: "well", distance: "1 ft", says: name, only: name, source: name }] };
    const { section } = sitingPart(readSite(changed(fixture("fernhollow"), "surroundings", surroundings)))!;
    expect(section.markup).not.toMatch(/<script|<img/);
    expect(textOf(section.markup)).toContain(name);
  });
});

describe("the cautions of a site", () => {
  const reasons = (file: object): Record<string, string | null> => {
    const site = readSite(file);
    return Object.fromEntries(cautionList(site, siting(site)).map(({ about, because }) => [about, because]));
  };

  test("are all cautions in their order, each with what in the file calls for it", () => {
    expect(cautionList(copperbeech, siting(copperbeech)).map(({ about, words }) => ({ about, words }))).toEqual(cautions);
    expect(reasons(demo("copperbeech-lane"))).toEqual({
      "Buried lines": "Known: the buried service “gas” 5.2 ft from the pit. There may be others.",
      "Pits": "The pit is dug 6.1 ft deep, the trench 2.55 ft.",
      "Spoil": "What comes out of a pit of 13.5 ft by 8 ft lies beside it until it is carted off.",
      "Slopes": null,
      "Contaminated or made ground": null,
      "Wells, septic fields and foundations": "Given: the building “house” 22.2 ft from the pit, the septic field 37.2 ft from the pit, the well “neighbour's well” 130 ft from the pit.",
      "The soil": "No test is given for any layer.",
      "Who decides": "It holds wherever one digs.",
    });
  });

  test("speak of walls, slopes, made ground and low slabs where they are given", () => {
    const linden = reasons(changed(demo("linden-row"), "surroundings.groundSlope", 0.12));
    expect(linden["Slopes"]).toBe("The ground falls 12 % at the works. Given: the retaining wall 4 m from the pit. Water behind a wall or in a slope pushes.");
    expect(linden["Contaminated or made ground"]).toBe("Given: the made ground “filled pond” 13.46 m from the pit.");
    expect(linden["Wells, septic fields and foundations"]).toMatch(/^Given: the building “house” 5\.48 m from the pit\. The slab of the building “house” at 61\.000 m lies 1\.63 m lower/);
  });

  test("say that no buried line given is no sign, that a pit is wet, and which layers were tested", () => {
    const none = reasons(fixture("fernhollow"));
    expect(none["Buried lines"]).toBe("No buried line is given, which is no sign that there is none.");
    expect(reasons(fixture("fernhollow-low-point"))["Pits"]).toMatch(/, and groundwater can stand in it\.$/);
    expect(reasons(fixture("tested-soil"))["The soil"]).toMatch(/^No test is given for \d of the \d layers\.$/);
  });
});
