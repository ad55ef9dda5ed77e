import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { layerBand } from "../../lib/site/siteNotes.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { freeVolumeAt } from "../../lib/study/freeVolumeAt.ts";
import { runSoilBand } from "../../lib/study/runSoilBand.ts";
import { sidesOnly } from "../../lib/study/sidesOnly.ts";
import { wallWater } from "../../lib/study/wallWater.ts";
import { expectClose } from "../closeTo.ts";
import { changed, demo, fixture } from "../site/siteFiles.ts";

const storm = designStorm({ pattern: "nrcs-ii", depth: "3 in" });
const cloudburst = designStorm({ pattern: "block", depth: "34 mm", duration: "1 h" });
const tested = (test: object): Site => readSite(changed(demo("copperbeech-lane"), "soil.layers", [{ test }]));
const tenMinutesAnInch = { kind: "percolationHole", diameter: "6 in", waterDepth: "12 in", minutesPerInch: 10 };

describe("a run over the soil's band", () => {
  test("has the soil at the low end, as tested and at the high end, and says what comes of each", () => {
    const site = tested(tenMinutesAnInch);
    const { low, best, high, note } = runSoilBand(site, storm);
    const layer = site.soil.layers[0]!;
    const band = layerBand(layer);
    const conductivities = [low, best, high].map((run) => run.site.soil.layers[0]!.conductivity);
    expect(conductivities).toEqual([band.low, layer.conductivity, band.high]);
    expect(best.ledger).toEqual(simulate(site, storm).ledger);
    expect(low.ledger.bankSeepage).toBeLessThan(best.ledger.bankSeepage);
    expect(low.ledger.emitter).toBeGreaterThan(best.ledger.emitter);
    // wording ours, figures those of the three runs
    expect(note).toMatch(/^The soil's band: at 0\.027 in\/h the pit rises to [\d.]+ ft and takes [\d.]+ days to be empty, and the emitter fires [\d.]+ gal; at 0\.216 in\/h, as given, the pit rises to /);
    expect(note).toMatch(/; at 1\.11 in\/h the pit rises to [\d.]+ ft and takes [\d.]+ h(?: \d+ min)? to be empty, and the emitter fires [\d.]+ gal\.$/);
  });

  test("of a hole that never drained is 0 but for its high end, and runs", () => {
    const { low, best, high } = runSoilBand(tested({ ...tenMinutesAnInch, minutesPerInch: "never", watched: "24 h" }), storm);
    for (const { ledger, drainDown } of [low, best]) {
      expect([ledger.bankSeepage, ledger.trenchSeepage, drainDown.empty]).toEqual([0, 0, null]);
    }
    expect(high.ledger.bankSeepage).toBeGreaterThan(0);
    expect(high.ledger.bankSeepage).toBeLessThan(0.05 * high.ledger.inflow);
  });

  test("of layers of different bands takes each to its own end, and leaves what else the site says alone", () => {
    const site = readSite(fixture("tested-soil"));
    const { low, high } = runSoilBand(site, storm, { until: "30 h" });
    for (const [run, end] of [[low, "low"], [high, "high"]] as const) {
      expect(run.site.soil.layers.map(({ conductivity }) => conductivity)).toEqual(site.soil.layers.map((layer) => layerBand(layer)[end]));
      expect({ ...run.site, soil: site.soil, notes: site.notes }).toEqual(site);
    }
  });

  test("with the water table below the floor never drains slower in better soil", () => {
    const minutes = fc.integer({ min: 2, max: 240 });
    fc.assert(fc.property(minutes, fc.constantFrom("copperbeech-lane", "linden-row"), (minutesPerInch, name) => {
      const site = readSite(changed(demo(name), "soil.layers", [{ test: { ...tenMinutesAnInch, minutesPerInch } }]));
      const { low, best, high } = runSoilBand(site, cloudburst, { until: "20 day" });
      const empties = [low, best, high].map(({ drainDown }) => drainDown.empty ?? Infinity);
      expect(empties[0]!).toBeGreaterThanOrEqual(empties[1]! - 1);
      expect(empties[1]!).toBeGreaterThanOrEqual(empties[2]! - 1);
    }), { seed: 82, numRuns: 15 });
  });
});

describe("the sides alone", () => {
  test("are run with both floors sealed, beside the run with the floors as given", () => {
    const site = readSite(demo("copperbeech-lane"));
    const { open, sealed, note } = sidesOnly(site, storm);
    expect([open.site, sealed.site.chamberBank.openFloorShare, sealed.site.overflowTrench!.openFloorShare]).toEqual([site, 0, 0]);
    expect(sealed.ledger.bankSeepage).toBeLessThan(open.ledger.bankSeepage);
    expect(sealed.ledger.bankSeepage).toBeGreaterThan(0);
    expect(sealed.ledger.emitter).toBeGreaterThan(open.ledger.emitter);
    expect(note).toMatch(/^With the floors open the pit rises to .*; once silt has sealed them, and only the sides drain, the pit rises to .*\.$/);
  });

  test("are one run where the floors are sealed already", () => {
    const bare = changed(demo("linden-row"), "emitter.weepHole", undefined);
    const file = changed(changed(bare, "chamberBank.openFloorShare", 0), "overflowTrench.openFloorShare", 0);
    for (const each of [file, changed(bare, "soil.floor", false)]) {
      const { open, sealed, note } = sidesOnly(readSite(each), cloudburst);
      expect(sealed).toBe(open);
      expect(note).toMatch(/^In the file too only the sides drain: the pit rises to /);
    }
  });

  test("are not said to drain where they are off, or where a weep hole drains too", () => {
    const bare = changed(demo("linden-row"), "emitter.weepHole", undefined);
    const shut = changed(changed(bare, "soil.floor", false), "soil.sides", false);
    expect(sidesOnly(readSite(shut), cloudburst).note).toMatch(/^In the file too nothing drains: the pit rises to .* and is never empty/);
    expect(sidesOnly(readSite(changed(bare, "soil.sides", false)), cloudburst).note).toMatch(/; once silt has sealed them, and nothing drains, the pit rises to /);
    const weeps = sidesOnly(readSite(changed(demo("linden-row"), "soil.floor", false)), cloudburst).note;
    expect(weeps).toMatch(/^With the weep hole open the pit rises to .*; once silt has sealed its pocket of soil, and only the sides drain, the pit rises to /);
    expect(sidesOnly(readSite(demo("linden-row")), cloudburst).note).toMatch(/; once silt has sealed them and the weep hole's pocket, and only the sides drain, the pit /);
  });

  test("of a pit in groundwater are back at that, and never said to take a time to empty", () => {
    const wet = readSite(changed(demo("copperbeech-lane"), "groundwater.level", "93 ft"));
    for (const note of [sidesOnly(wet, storm).note, runSoilBand(wet, storm).note]) {
      expect(note).not.toMatch(/to be empty|to empty/);
      expect(note.match(/to be back at its groundwater|is not back at its groundwater in/g)!.length).toBeGreaterThan(1);
    }
  });

  test("seal the pocket under a weep hole too", () => {
    const { open, sealed } = sidesOnly(readSite(changed(demo("linden-row"), "soil.floor", false)), designStorm({ pattern: "block", depth: "60 mm", duration: "1 h" }));
    expect([open.site.emitter!.weepHole === null, sealed.site.emitter!.weepHole]).toEqual([false, null]);
    expect(sealed.ledger.weep).toBe(0);
  });

  test("of a pit whose trench alone is sealed are run again", () => {
    const { open, sealed } = sidesOnly(readSite(changed(demo("linden-row"), "overflowTrench.openFloorShare", 0)), cloudburst);
    expect(sealed.ledger.bankSeepage).toBeLessThan(open.ledger.bankSeepage);
  });
});

describe("the room for rain", () => {
  test("is the pit's, the trench's and the box's up to where the emitter opens, less what groundwater holds (by hand)", () => {
    // no chambers, no trench, no sump above the outlet: stone of 0.4 from 92.1 to 96.1 ft over 13 by 8 ft, cover 0.05 to 98.2 ft;
    // box 2 by 2 ft from its outlet at 96.6 ft to 98.2 ft; nothing comes out below the ground over the pit at 98.2 ft
    const site = readSite(fixture("tested-soil"));
    const cubicFoot = 0.3048 ** 3;
    const dry = (13 * 8 * (0.4 * 4 + 0.05 * 2.1) + 4 * 1.6) * cubicFoot;
    expectClose(freeVolumeAt(site, null), dry, { relative: 1e-12, because: "round-off" });
    expectClose(freeVolumeAt(site, 90), 4 * 1.6 * cubicFoot + 13 * 8 * 0.05 * 2.1 * cubicFoot, { relative: 1e-12, because: "round-off" });
    expectClose(freeVolumeAt(site, 94.1 * 0.3048), dry - 13 * 8 * 0.4 * 2 * cubicFoot, { relative: 1e-12, because: "round-off" });
  });

  test("never grows as groundwater rises, and is nothing where it stands at the emitter", () => {
    const site = readSite(demo("sedge-hollow"));
    const level = fc.double({ min: 11, max: 14, noNaN: true });
    fc.assert(fc.property(level, level, (one, other) => {
      expect(freeVolumeAt(site, Math.max(one, other))).toBeLessThanOrEqual(freeVolumeAt(site, Math.min(one, other)));
    }), { seed: 83 });
    expect(freeVolumeAt(site, 11)).toBe(freeVolumeAt(site, null));
  });

  test("has no level that is no number", () => {
    expect(() => freeVolumeAt(readSite(demo("sedge-hollow")), NaN)).toThrow("groundwaterLevel: expected a number of metres or null, got NaN");
  });
});

describe("water at the wall", () => {
  const site = readSite(fixture("mound"));
  const run = simulate(site, { settlingBox: hydrograph({ time: [0, 7200, 7200], flow: [0.004, 0.004, 0] }) }, { until: "48 h" });

  test("is the groundwater and the highest rise of the run at the place the site names", () => {
    const { time, rise, level, belowSlab, dampBelowSlab } = wallWater(run, { slab: "46.9 m" });
    const rises = Array.from(run.times, (moment) => run.rise(moment)!.offset);
    expect([rise, run.rise(time)!.offset]).toEqual([Math.max(...rises), rise]);
    expect(rise).toBeGreaterThan(0);
    expect(level).toBe(site.groundwater.level!.level[0]! + rise);
    expect([belowSlab, dampBelowSlab]).toEqual([46.9 - level, 46.9 - level]);
  });

  test("is told against the slab, and what the ground draws up above it", () => {
    const { rise, level, time, note } = wallWater(run, { slab: "46.9 m", sediment: "fine sand" });
    const centimetres = (height: number): number => 10 * Math.round(100 * height);
    expect(rise).toBeGreaterThan(0.1);
    expect(note).toBe(`At the wall the mound adds ${centimetres(rise)} mm: the water table comes to ${level.toFixed(2)} m, `
      + `${centimetres(46.9 - level)} mm below the slab, at hour ${(time / 3600).toFixed(1)}. Capillary rise in fine sand, up to 500 mm as published, can keep the ground wet to `
      + `${centimetres(46.9 - level - 0.5)} mm below the slab.`);
    expect(wallWater(run, { slab: `${level + 0.3} m`, sediment: "fine sand" }).note).toMatch(/ Capillary rise in fine sand, up to 500 mm as published, can reach the slab\.$/);
  });

  test("is not said to reach the slab through silt, whose published heights their own source doubts", () => {
    const { note } = wallWater(run, { slab: "41 m", sediment: "coarse silt" });
    expect(note).toMatch(/ By the 3000 mm that are published for coarse silt capillary rise would reach the slab; the source itself calls its heights for silt too large, and cracks and roots break the rise\.$/);
  });

  test("that stands over the slab leaves nothing for the pores to do", () => {
    expect(wallWater(run, { slab: "39.8 m", sediment: "fine sand" }).note).toMatch(/ mm above the slab, at hour [\d.]+\.$/);
  });

  test("asks for a slab, a sediment of the table and a site with mounding", () => {
    expect(() => wallWater(run, { slab: "46.9" })).toThrow('wallWater.slab: expected a length such as "2.5 ft", "18 in" or "0.75 m", got "46.9", without a unit');
    expect(() => wallWater(run, { slab: "46.9 m", sediment: "fine snad" })).toThrow('did you mean "fine sand"?');
    const dry = simulate(readSite(demo("linden-row")), cloudburst, { until: "2 h" });
    expect(() => wallWater(dry, { slab: "46.9 m" })).toThrow("wallWater: expected a site with groundwater.mounding, got none");
  });
});
