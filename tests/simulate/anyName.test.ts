import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";

const file = JSON.parse(readFileSync(new URL("../../data/linden-row.json", import.meta.url), "utf8")) as {
  readonly settlingBox: object; readonly catchments: readonly object[];
};

function siteWith(name: string): ReturnType<typeof readSite> {
  return readSite({
    ...file, storms: [], studies: undefined,
    settlingBox: [{ ...file.settlingBox, name }, { ...file.settlingBox, name: "other" }],
    catchments: file.catchments.map((catchment) => ({ ...catchment, drainsTo: name })),
  });
}

// the reference is the same site whose box has a name that means nothing to anybody
test.each(["constructor", "toString", "hasOwnProperty", "valueOf", "trenchPipe west", "boxOutlet east", "overflowTrench side"])(
  "a box called %s is a box and nothing else", (name) => {
    const flow = hydrograph({ time: [0, 600, 1200], flow: [0, 0.02, 0] });
    for (const load of [{ other: flow }, { chamberBank: flow }]) {
      const [run, plain] = [siteWith(name), siteWith("north")].map((site) => simulate(site, load, { until: "6 h" }));
      expect(run!.ledger).toEqual(plain!.ledger);
      expect(Object.values(run!.peaks)).toEqual(Object.values(plain!.peaks));
      expect(run!.notes.map((note) => note.replaceAll(name, "north"))).toEqual(plain!.notes);
    }
    const rain = designStorm({ pattern: "block", depth: "50 mm", duration: "1 h" });
    const [run, plain] = [siteWith(name), siteWith("north")].map((site) => simulate(site, rain, { until: "6 h" }));
    expect(run!.ledger).toEqual(plain!.ledger);
    expect(run!.ledger.inflow).toBeGreaterThan(0);
    const flows = [run!, plain!].map((each) => each.passages.map((passage) => each.flow(passage, 1800)));
    expect(flows[0]).toEqual(flows[1]);
  },
);
