// A run put together from the independent solver's samples (fixtures/reference-runs.json, copied from the model's own
// reference runs), with straight lines between its 97 samples: enough to draw, and independent of the library's stepper.
import { readFileSync } from "node:fs";
import { quantity, type Dimension } from "../../lib/units/quantity.ts";
import type { Hydrograph } from "../../lib/runoff/hydrograph.ts";
import type { Pipe, Site } from "../../lib/site/site.ts";
import type { Run } from "../../lib/simulate/run.ts";

interface ReferenceRun {
  readonly id: string;
  readonly site: ReferenceSite;
  readonly inflow: { readonly time_s: number[]; readonly flow_m3s: number[] };
  readonly end_s: number;
  readonly result: {
    readonly peakBox: { level_m: number; time_s: number };
    readonly peakBank: { level_m: number; time_s: number };
    readonly peakTrench: { level_m: number; time_s: number };
    readonly firings: { start_s: number; end_s: number | null }[];
    readonly ledger_m3: Run["ledger"];
    readonly levels: { time_s: number[]; box_m: number[]; bank_m: number[]; trench_m: number[] };
  };
}

type Texts = Record<string, string>;
interface ReferenceSite {
  readonly name: string;
  readonly catchments: { name: string; area: string; runoffCoefficient: number; timeOfConcentration: string }[];
  readonly settlingBox: Texts & { outlet: PipeTexts };
  readonly chamberBank: { floor: string; length: string; width: string; ground: string; stone: { depth: string; porosity: number; base?: string };
    chambers: { count?: number; insideDiameter: string; outsideDiameter: string; height: string }[] };
  readonly overflowTrench: { floor: string; fall?: string; length: string; width: string; ground: string; stone: { depth: string; porosity: number };
    pipe: { insideDiameter: string; outsideDiameter: string; bedding?: string }; inlet: PipeTexts };
  readonly emitter: { crest: string; diameter: string; opensAtHead?: string; closesAtHead?: string; weepHole?: { diameter: string; elevation: string } };
  readonly soil: { layers: { top?: string; conductivity: string }[]; factorOfSafety?: number };
  readonly groundwater: { level: string; pathLength?: string };
}
interface PipeTexts { diameter: string; invert: string; outletInvert?: string; length?: string; manningN?: number }

const references = JSON.parse(readFileSync(new URL("fixtures/reference-runs.json", import.meta.url), "utf8")) as ReferenceRun[];

const si = (text: string, dimension: Dimension = "length"): number => quantity(text, dimension, "fixture");

/** One of the four reference runs as a Run. */
export function drawnRun(id: "library-3in" | "library-4in" | "low-point-3in" | "depot-block-1h"): Run {
  const reference = references.find((run) => run.id === id)!;
  const { levels, firings, ledger_m3: ledger } = reference.result;
  const samples: Record<string, number[]> = { settlingBox: levels.box_m, chamberBank: levels.bank_m, overflowTrench: levels.trench_m };
  const inflow: Hydrograph = { time: Float64Array.from(reference.inflow.time_s), flow: Float64Array.from(reference.inflow.flow_m3s) };
  const open = firings.reduce((sum, { start_s, end_s }) => sum + ((end_s ?? reference.end_s) - start_s), 0);
  const level = (body: string, time: number): number => between(levels.time_s, samples[body]!, time);
  const emitter = (time: number): number => firings.some(({ start_s, end_s }) => start_s <= time && time < (end_s ?? reference.end_s)) ? ledger.emitter / open : 0;
  return {
    site: siteOf(reference.site),
    rain: { time: Float64Array.from([0, reference.inflow.time_s.at(-1)!]), depth: Float64Array.from([0.05]) },
    inflows: { settlingBox: inflow },
    until: reference.end_s,
    bodies: Object.keys(samples),
    passages: ["boxOutlet", "trenchInlet", "bankSeepage", "trenchSeepage", "emitter"],
    level,
    levels: (body, times) => Float64Array.from(times, (time) => level(body, time)),
    flow: (passage, time) => {
      if (passage === "emitter") return emitter(time);
      if (passage === "boxOutlet") return between(reference.inflow.time_s, reference.inflow.flow_m3s, time);
      if (passage === "bankSeepage") return (ledger.bankSeepage / 130000) * Math.min(1, Math.max(0, level("chamberBank", time) - samples.chamberBank![0]!));
      return 0;
    },
    times: Float64Array.from(levels.time_s),
    peaks: {
      settlingBox: { level: reference.result.peakBox.level_m, time: reference.result.peakBox.time_s },
      chamberBank: { level: reference.result.peakBank.level_m, time: reference.result.peakBank.time_s },
      overflowTrench: { level: reference.result.peakTrench.level_m, time: reference.result.peakTrench.time_s },
    },
    firings: firings.map(({ start_s, end_s }) => ({ start: start_s, end: end_s, volume: ledger.emitter * (((end_s ?? reference.end_s) - start_s) / open), peakFlow: 0.004 })),
    ledger,
    groundwaterIn: { bank: 0, trench: 0, lowSpot: 0 },
    drainDown: { half: 13.2 * 3600, empty: id === "low-point-3in" ? null : 43.6 * 3600 },
    events: [],
    notes: ["trench inlet: its crest 96.10 ft lies 0.5 ft above the trench floor, so that much of the pit stays out of the trench's reach"],
    work: { steps: 97, rejections: 0, evaluations: 0 },
  };
}

function between(times: readonly number[], values: readonly number[], time: number): number {
  if (time < times[0]! || time > times.at(-1)!) return 0;
  const next = Math.max(1, times.findIndex((each) => each >= time));
  const [t0, t1] = [times[next - 1]!, times[next]!];
  return t1 === t0 ? values[next]! : values[next - 1]! + ((time - t0) / (t1 - t0)) * (values[next]! - values[next - 1]!);
}

function siteOf(file: ReferenceSite): Site {
  const box = file.settlingBox;
  const round = box.diameter !== undefined ? si(box.diameter) : null;
  const [length, width] = round === null ? [si(box.length!), si(box.width!)] : [0, 0];
  const { chamberBank: pit, overflowTrench: trench, emitter } = file;
  return {
    name: file.name, about: "", units: file.chamberBank.floor.endsWith("ft") ? "us" : "si",
    catchments: file.catchments.map(({ name, area, runoffCoefficient, timeOfConcentration }) => ({
      name, area: si(area, "area"), timeOfConcentration: si(timeOfConcentration, "time"), drainsTo: "settlingBox", initialLoss: 0,
      loss: { kind: "runoffCoefficient", runoffCoefficient },
    })),
    settlingBoxes: [{
      name: "settlingBox", plan: round === null ? { length, width } : { diameter: round },
      planArea: round === null ? length * width : (Math.PI / 4) * round ** 2, perimeter: round === null ? 2 * (length + width) : Math.PI * round,
      floor: si(box.floor!), rim: si(box.rim!), outlet: pipeOf(box.outlet), spillsTo: null,
    }],
    chamberBank: {
      floor: si(pit.floor), length: si(pit.length), width: si(pit.width), ground: si(pit.ground),
      stone: { depth: si(pit.stone.depth), porosity: pit.stone.porosity, base: si(pit.stone.base ?? "0 m") },
      chambers: pit.chambers.map((each) => ({
        count: each.count ?? 1, insideDiameter: si(each.insideDiameter), outsideDiameter: si(each.outsideDiameter), height: si(each.height),
        wallOpenings: null, gap: null,
      })),
      coverPorosity: 0.05, openFloorShare: 1, groundwaterLevel: null, cover: null, spillsTo: null,
    },
    overflowTrench: {
      floor: si(trench.floor), fall: si(trench.fall ?? "0 m"), length: si(trench.length), width: si(trench.width), ground: si(trench.ground),
      stone: { depth: si(trench.stone.depth), porosity: trench.stone.porosity, hydraulicConductivity: 0.15 },
      pipe: { insideDiameter: si(trench.pipe.insideDiameter), outsideDiameter: si(trench.pipe.outsideDiameter), bedding: si(trench.pipe.bedding ?? "0 m"), manningN: 0.01, openArea: null },
      inlet: pipeOf(trench.inlet), coverPorosity: 0.05, openFloorShare: 1, groundwaterLevel: null, cover: null, spillsTo: null, segments: 1,
    },
    emitter: {
      crest: si(emitter.crest), diameter: si(emitter.diameter), opensAtHead: si(emitter.opensAtHead ?? "12 mm"), closesAtHead: si(emitter.closesAtHead ?? "3 mm"),
      tailwater: null, weepHole: emitter.weepHole === undefined ? null : { diameter: si(emitter.weepHole.diameter), elevation: si(emitter.weepHole.elevation) },
      dischargesTo: null, heldShut: [],
    },
    lowSpot: null,
    soil: {
      layers: file.soil.layers.map(({ top, conductivity }) => ({ top: top === undefined ? Infinity : si(top), conductivity: si(conductivity, "speed") })),
      floor: true, sides: true, factorOfSafety: file.soil.factorOfSafety ?? 1, temperature: 20,
    },
    groundwater: { level: { time: [0], level: [si(file.groundwater.level)] }, pathLength: null, mounding: null },
    storms: [{ name: "3 in, type II", options: { pattern: "nrcs-ii", depth: "3 in" } }], watchLevels: [], notes: [],
  };
}

function pipeOf(texts: PipeTexts): Pipe {
  return {
    diameter: si(texts.diameter), invert: si(texts.invert), outletInvert: si(texts.outletInvert ?? texts.invert), length: si(texts.length ?? "0 m"),
    manningN: texts.manningN ?? 0.01, entranceLoss: 0.5, exitLoss: 1, bendLoss: 0,
  };
}
