import { describe, expect, test } from "vitest";
import { cautionList } from "../../lib/report/sitingPart.ts";
import { cautions } from "../../lib/report/cautions.ts";
import { sitePage } from "../../lib/report/sitePage.ts";
import { crossingNotice, sitingPart } from "../../lib/report/sitingPart.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { siting } from "../../lib/plan/siting.ts";
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
      "The overflow trench lies 5.4 ft from the boundary, 4.6 ft nearer than Minnesota asks (10 ft).",
      "What others ask for; your local code and a licensed practitioner decide.",
      "Nearer than some of them ask: the trench to the boundary.",
      "from the edge of settling box pipe from the settling box pit pipe to the trench overflow trench Buried service “gas” 9.4 ft 11.7 ft 5.2 ft 11.6 ft 11.2 ft Boundary 19.4 ft 21.7 ft 15.2 ft 21.6 ft 5.4 ft",
      "Well “neighbour's well” not measured not measured 130 ft not measured not measured",
      "as it is written in feet, published rules of the United States are asked.",
      "Boundary: 15.2 ft from the pit, 5.4 ft from the trench Minnesota property line (recommended) 10 ft 5.2 ft farther 4.6 ft nearer read",
      "Minnesota building (recommended) 10 ft 12.2 ft farther 23.9 ft farther read",
      "Minnesota sensitive well, if the well is a sensitive one 100 ft 30 ft farther read",
      "Groundwater, 84.00 ft: 8.1 ft below the pit's floor",
      "New Jersey base to seasonal high water table 2 ft 6.1 ft farther read",
      "index.php?title=Summary_of_horizontal_and_vertical_setback_distances, read 28 November 2026",
      "Not looked at, for the file gives nothing to measure to: base to bedrock (required) (Minnesota); slope of 20 % or more",
      "of the lot are left for such a pit",
    ]) expect(text).toContain(words);
    expect(text).not.toMatch(/\b(pass(es|ed)?|fails?|compl(y|ies|iant|iance))\b/i);
  });

  test("says of no place that such a pit keeps every distance there, where none is left", () => {
    const room = " pit of 13.5 ft by 8 ft, lying as drawn, ";
    expect(text).toContain(`There a${room}keeps every distance that is asked without a condition and lies on nothing drawn;`);
    const asked = { ...demo("copperbeech-lane")["surroundings"] as object, rules: [{ from: "boundary", distance: "90 ft", says: "the town" }] };
    const none = textOf(sitingPart(readSite(changed(demo("copperbeech-lane"), "surroundings", asked)))!.section.markup);
    expect(none).toContain("No place is left on the lot for such a pit, lying as drawn");
    expect(none).toContain(`A${room}would have to keep every distance that is asked without a condition and lie on nothing drawn;`);
    expect(none).not.toContain(`There a${room}`);
  });

  test("has its plan at every width of a report, and a place for it", () => {
    expect(part.pictures.map(({ id, widths }) => [id, widths.map(({ width }) => width)])).toEqual([["site-plan", [330, 700, 1080]]]);
    expect(part.section.markup).toContain(`id="site-plan" role="img"`);
  });

  test("has no picture where there are distances only, and is left out where nothing is given", () => {
    const distances = sitingPart(readSite(changed(fixture("fernhollow"), "surroundings", { features: [{ kind: "well", distance: "60 ft" }] })))!;
    expect(distances.pictures).toEqual([]);
    expect(textOf(distances.section.markup)).toContain("Well: 60 ft from the pit");
    expect(sitingPart(readSite(fixture("fernhollow")))).toBeNull();
  });

  test("says what the holes cross before all else, and on the head of a page", () => {
    const site = readSite(fixture("tannery-box"));
    const crossing = "The buried service “gas main” crosses the hole for the settling box. Nobody digs there before it is marked and exposed by hand.";
    expect(textOf(sitingPart(site)!.section.markup).indexOf(crossing)).toBeLessThan(400);
    expect(textOf(crossingNotice(site)!.markup).trim()).toBe(crossing);
    expect(crossingNotice(copperbeech)).toBeNull();
    expect(crossingNotice(readSite(fixture("fernhollow")))).toBeNull();
    const page = sitePage([{ name: "2-year day", run: simulate(site, designStorm({ pattern: "nrcs-ii", depth: "1 in" })) }]);
    expect(textOf(page.slice(page.indexOf("<body"))).indexOf(crossing)).toBeLessThan(300);
  });

  test("names what the plan does not place, on the part and in the caution of buried lines", () => {
    const site = readSite(changed(fixture("tannery-box"), "surroundings.works.boxes", []));
    const [text, found] = [textOf(sitingPart(site)!.section.markup), siting(site)];
    expect(text).toContain("Not on the plan, so that nothing is measured from them: the hole for the settling box and the pipe from the settling box.");
    expect(cautionList(site, found).find(({ about }) => about === "Buried lines")!.because)
      .toBe("Known: the buried service “gas main” 13.2 ft from the pit. There may be others. Not on the plan and not measured from: the hole for the settling box, the pipe from the settling box.");
    expect(text).not.toContain("What the holes cross");
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
      "Pits": "The pit is dug 6.1 ft deep, the trench 2.3 ft, the hole of the box 4.38 ft.",
      "Spoil": "What comes out of a pit of 13.5 ft by 8 ft lies beside it until it is carted off.",
      "Slopes": null,
      "Contaminated or made ground": null,
      "Wells, septic fields and foundations": "Given: the building “house” 10.3 ft from the hole for the settling box, the septic field 37.2 ft from the pit, the well “neighbour's well” 130 ft from the pit.",
      "The soil": "No test is given for any layer.",
      "Who decides": "It holds wherever one digs.",
    });
  });

  test("speak of walls, slopes, made ground and low slabs where they are given", () => {
    const linden = reasons(changed(demo("linden-row"), "surroundings.groundSlope", 0.12));
    expect(linden["Slopes"]).toBe("The ground falls 12 % at the works. Given: the retaining wall 3.86 m from the hole for the settling box. Water behind a wall or in a slope pushes.");
    expect(linden["Contaminated or made ground"]).toBe("Given: the made ground “filled pond” 7.76 m from the hole for the settling box.");
    expect(linden["Wells, septic fields and foundations"]).toMatch(/^Given: the building “house” 0\.47 m from the hole for the settling box\. The slab of the building “house” at 61\.000 m lies 1\.63 m lower/);
  });

  test("say that no buried line given is no sign, that a pit is wet, and which layers were tested", () => {
    const none = reasons(fixture("fernhollow"));
    expect(none["Buried lines"]).toBe("No buried line is given. There may still be some.");
    expect(reasons(fixture("fernhollow-low-point"))["Pits"]).toMatch(/, and groundwater can stand in it\.$/);
    expect(reasons(fixture("tested-soil"))["The soil"]).toMatch(/^No test is given for \d of the \d layers\.$/);
  });
});
