/**
 * Synthetic fill tests: a demo site, built otherwise than drawn in a way that is drawn by lot, filled, dipped and misread by
 * lot, in stone whose porosity is that of the drawing only to a tenth. `lib` brings the library's own functions, of dist or of lib.
 */

/** What is wrong with the works of a trial; they take turns. */
export const CAUSES = ["none", "floor", "waterTable", "leak"];

/**
 * @param lib    uniformDraw, normalDraw, fillModel, networkOf and withPorosity of the library
 * @param seed   whole numbers: the trial hangs on these two alone
 * @returns      what was done and read, the cause, and the true values by the names of the cause's model
 */
export function fillTrial({ uniformDraw, normalDraw, fillModel, networkOf, withPorosity }, sites, seed, trial) {
  const drawn = (which, low, high) => low + (high - low) * uniformDraw(seed, trial, which);
  const cause = CAUSES[trial % CAUSES.length];
  const drawnSite = sites[Math.floor(drawn(0, 0, sites.length))];
  const site = withPorosity(drawnSite, Math.max(0.7, Math.min(1.4, 1 + 0.1 * normalDraw(seed, trial, 12))));
  const { chamberBank: bank, settlingBoxes, overflowTrench, groundwater } = site;
  const body = networkOf(site).bodies.find((each) => each.kind === "bank");
  const began = body.start(-Infinity);
  const lid = Math.min(
    bank.stoneTop, ...settlingBoxes.map((box) => box.outlet.crest),
    ...(overflowTrench === null ? [] : [overflowTrench.inlet.crest]),
  );
  const height = drawn(1, 0.5, 0.95) * (lid - began);
  const top = began + height;
  const soil = 3 ** drawn(2, -1, 1);
  const path = groundwater.pathLength ?? bank.width;
  const values = { soil };
  if (cause === "floor") values.floor = drawn(3, 0.02, 0.6);
  if (cause === "waterTable") values.waterTable = drawn(3, bank.floor - 0.5 * path, bank.floor + 0.5 * height);
  if (cause === "leak") {
    const conductivity = site.soil.layers.at(-1).conductivity / site.soil.factorOfSafety;
    const faces = bank.length * bank.width + 2 * (bank.length + bank.width) * height;
    values.leakLevel = bank.floor + drawn(3, 0.05, 0.7) * height;
    values.leakFlow = conductivity * soil * faces * drawn(4, 0.5, 3);
  }
  const byHose = uniformDraw(seed, trial, 5) < 0.5;
  const duration = 60 * Math.round(drawn(6, 20, 60));
  const start = values.waterTable === undefined ? body.start(body.groundwater === null ? -Infinity : body.groundwater.level[0]) : body.start(values.waterTable);
  // groundwater may stand above what was to be filled
  const filled = Math.max(top, start + 0.3);
  const flow = (body.volume(filled) - body.volume(start)) / duration;
  const filling = byHose ? { by: "hose", into: "chamberBank", flow, duration, within: 0.1 } : { by: "firstDip" };
  values.hose = 0.1 * normalDraw(seed, trial, 7);
  values.start = filled;
  const rough = { site, filling, dips: { time: Float64Array.of(byHose ? 0 : 600), level: Float64Array.of(filled) } };
  const model = fillModel(rough, cause === "none" ? [] : [cause]);
  const truth = model.names.map((name) => values[name]);
  const from = byHose ? duration : 600;
  // dips until the water has fallen by a share of the height, or hardly falls any more
  const looks = Array.from({ length: 60 }, (_, i) => from + 600 * 1.14 ** i);
  const seen = model.levels(truth, looks);
  const low = Math.max(bank.floor + 0.02, seen[0] - drawn(8, 0.4, 0.9) * (seen[0] - seen.at(-1)));
  const last = looks[Math.max(8, seen.findIndex((level) => level < low))] ?? looks.at(-1);
  const count = Math.round(drawn(9, 8, 20));
  const time = Float64Array.from({ length: count }, (_, i) => Math.round((from + ((last - from) * i) / (count - 1)) / 60) * 60);
  const deviation = drawn(10, 0.0015, 0.005);
  const level = model.levels(truth, time).map((exact, i) => exact + deviation * normalDraw(seed, trial, 20 + i));
  const wet = level.findIndex((water) => water < bank.floor + 0.01);
  const kept = wet < 0 ? count : wet;
  // a leak's flow is that at the highest dip
  if (cause === "leak") truth[model.names.indexOf("leakFlow")] *= Math.sqrt((Math.max(...level.slice(0, kept)) - values.leakLevel) / (filled - values.leakLevel));
  return {
    cause, site: drawnSite, filling, deviation, names: model.names, truth,
    dips: { time: time.slice(0, kept), level: level.slice(0, kept) },
  };
}
