// Sites that differ from the usual chain in one thing each, all invented: what a page says of them is read by a person, and pinned.
import type { Hydrograph } from "../../lib/runoff/hydrograph.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { designStorm } from "../../lib/rain/designStorm.ts";
import type { Hyetograph } from "../../lib/rain/hyetograph.ts";

type Json = Readonly<Record<string, unknown>>;

const HOUR = designStorm({ pattern: "block", depth: "40 mm", duration: "1 h" });

const box = {
  length: "0.8 m", width: "0.6 m", floor: "8.6 m", rim: "10.1 m",
  outlet: { diameter: "110 mm", invert: "9.2 m", outletInvert: "9.15 m", length: "5 m" },
};
const bank = {
  floor: "8.0 m", length: "4 m", width: "2.5 m", ground: "10.0 m",
  stone: { depth: "1.4 m", porosity: 0.4, base: "0.15 m" }, coverPorosity: 0.05,
  chambers: [{ count: 3, insideDiameter: "0.75 m", outsideDiameter: "0.8 m", height: "1.1 m" }],
};
const trench = {
  floor: "8.9 m", fall: "0.1 m", length: "12 m", width: "0.5 m", ground: "9.7 m", coverPorosity: 0.05,
  stone: { depth: "0.45 m", porosity: 0.4 },
  pipe: { insideDiameter: "100 mm", outsideDiameter: "113 mm", bedding: "50 mm" },
  inlet: { diameter: "110 mm", invert: "9.1 m", length: "2 m" },
};
const emitter = { crest: "9.35 m", diameter: "100 mm", opensAtHead: "12 mm", closesAtHead: "3 mm" };
const hollow = { floor: "9.4 m", depth: "0.2 m", area: "60 m^2", lip: "9.65 m", lipLength: "2 m", conductivity: "10 mm/h" };
const run_on = { name: "slope", area: "900 m^2", runoffCoefficient: 0.35, timeOfConcentration: "15 min", drainsTo: "lowSpot" };

const roof = { name: "roof", area: "180 m^2", runoffCoefficient: 0.95, timeOfConcentration: "6 min" };
const USUAL: Json = {
  name: "Test Yard",
  catchments: [roof],
  settlingBox: box, chamberBank: bank, overflowTrench: trench, emitter,
  soil: { layers: [{ top: "10 m", conductivity: "12 mm/h" }, { top: "8.9 m", conductivity: "30 mm/h" }], factorOfSafety: 2 },
  groundwater: { level: "2 m" },
};

/** A site file and a storm on it. */
export interface Unusual {
  readonly name: string;
  readonly file: Json;
  readonly load: Hyetograph | Readonly<Record<string, Hydrograph>>;
}

function unusual(name: string, changes: Json = {}, load: Unusual["load"] = HOUR): Unusual {
  return { name, file: { ...USUAL, ...changes }, load };
}

const rain = (depth: string, duration: string = "1 h"): Hyetograph => designStorm({ pattern: "block", depth, duration });
const step = (time: string, level: string): Json => ({ time, level });

export const UNUSUAL: readonly Unusual[] = [
  unusual("as usual"),
  unusual("a small storm that never reaches the trench", {}, rain("9 mm")),
  unusual("no trench and no emitter", { overflowTrench: undefined, emitter: undefined }),
  unusual("a trench without an emitter", { emitter: undefined }),
  unusual("stone alone, a round box without a sump", {
    chamberBank: { ...bank, chambers: [] }, settlingBox: { ...box, length: undefined, width: undefined, diameter: "0.8 m", floor: "9.2 m" },
  }),
  unusual("groundwater over the sill", { groundwater: { level: "9.5 m" } }),
  unusual("groundwater in the pit", { groundwater: { level: "8.5 m" } }),
  unusual("groundwater in the pit, no rain", { groundwater: { level: "8.5 m" } }, rain("0 mm")),
  unusual("groundwater just under the floor, the file's own path", { groundwater: { level: "7.7 m", pathLength: "1.2 m" } }),
  unusual("a water table that rises into the pit later", { groundwater: { level: [step("0 h", "7 m"), step("30 h", "7.2 m"), step("90 h", "8.6 m")] } }, rain("10 mm")),
  unusual("a water table that falls out of the pit", { groundwater: { level: [step("0 h", "8.6 m"), step("20 h", "8.6 m"), step("40 h", "6 m")] } }),
  unusual("the trench's own water table feeds the pit", { overflowTrench: { ...trench, groundwaterLevel: "9.3 m" }, soil: { layers: [{ conductivity: "12 mm/h" }], floor: false } }),
  unusual("a lid held shut all through", { emitter: { ...emitter, heldShut: [{ from: "0 h", to: "900 h" }] } }, rain("70 mm")),
  unusual("several boxes, one in a hole too low", {
    catchments: [{ ...roof, drainsTo: "east" }, { ...roof, name: "barn", area: "400 m^2", drainsTo: "west" }],
    settlingBox: [{ name: "east", ...box }, { name: "west", ...box, rim: "9.5 m" }],
  }),
  unusual("a low spot with a grate, the emitter in it", {
    catchments: [roof, run_on], emitter: { ...emitter, crest: "9.42 m", dischargesTo: "lowSpot" }, lowSpot: { ...hollow, grate: { level: "9.45 m", perimeter: "1.6 m", area: "0.08 m^2" } },
  }),
  unusual("a pit that comes up through its grate", {
    settlingBox: { ...box, rim: "10.4 m" }, chamberBank: { ...bank, spillsTo: "lowSpot" }, overflowTrench: undefined, emitter: undefined,
    lowSpot: { ...hollow, grate: { level: "9.5 m", perimeter: "1.6 m", area: "0.08 m^2" } },
  }, rain("60 mm")),
  unusual("a low spot in sealed ground under groundwater", {
    catchments: [roof, run_on], lowSpot: { ...hollow, conductivity: "0 mm/h" },
  }),
  unusual("a slit pipe in a trench of three segments, and a weep hole", {
    overflowTrench: { ...trench, segments: 3, pipe: { ...trench.pipe, openArea: "25 cm^2/m" } },
    emitter: { ...emitter, weepHole: { diameter: "8 mm", elevation: "9.0 m", soakArea: "0.2 m^2" } },
  }),
  unusual("pit and trench under turf, lifted by a cloudburst", {
    chamberBank: { ...bank, cover: { conductivity: "12 mm/h" } }, overflowTrench: { ...trench, cover: { conductivity: "12 mm/h" } },
    emitter: { ...emitter, diameter: "40 mm" },
  }, rain("120 mm")),
  unusual("soil that takes in nothing", { soil: { layers: [{ conductivity: "0 mm/h" }], factorOfSafety: 2 } }),
  unusual("neither floor nor sides", { soil: { layers: [{ conductivity: "30 mm/h" }], floor: false, sides: false, factorOfSafety: 2 } }),
  unusual("clay under the sides' loam", { soil: { layers: [{ top: "10 m", conductivity: "30 mm/h" }, { top: "8.4 m", conductivity: "0.02 mm/h" }], factorOfSafety: 2 } }),
  unusual("no rain", {}, rain("0 mm")),
  unusual("half a metre of rain in an hour", {}, rain("500 mm")),
  unusual("a mound that reaches the pit", {
    groundwater: { level: "7.2 m", mounding: { conductivity: "0.4 m/day", thickness: "3 m", specificYield: 0.08, at: { x: "6 m", y: "0 m" } } },
  }, rain("60 mm", "12 h")),
  unusual("a lawn that sheds nothing", { catchments: [{ name: "lawn", area: "500 m^2", curveNumber: 45, timeOfConcentration: "20 min" }] }, rain("15 mm")),
  unusual("a roof straight into the pit", { catchments: [{ ...roof, drainsTo: "chamberBank" }] }),
  unusual("a tested soil", {
    soil: { layers: [{ test: { kind: "trialPit", length: "1.6 m", width: "0.6 m", waterDepth: "0.8 m", time75to25: ["42 min", "50 min", "51 min"] } }], factorOfSafety: 2 },
  }),
  unusual("a hose into the pit", {}, { chamberBank: hydrograph({ time: [0, 3600, 3600], flow: [0.0012, 0.0012, 0] }) }),
  unusual("an emitter under water outside", { emitter: { ...emitter, tailwater: "9.5 m" } }, rain("60 mm")),
];
