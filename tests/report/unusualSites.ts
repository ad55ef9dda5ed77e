// Sites that differ from the usual chain in one thing each, all invented: what a page says of them is read by a person, and pinned.
import type { Hydrograph } from "../../lib/runoff/hydrograph.ts";
import { hydrograph } from "../../lib/runoff/hydrograph.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { hyetograph, type Hyetograph } from "../../lib/rain/hyetograph.ts";

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
/** Rain of a number of millimetres in each six hours. */
const records = (depths: readonly number[]): Hyetograph => hyetograph({
  time: Array.from({ length: depths.length + 1 }, (_, i) => i * 21_600), depth: depths.map((depth) => depth / 1000),
});
const step = (time: string, level: string): Json => ({ time, level });

/** The usual works, in feet, round numbers. */
const FEET_IN_GERMANY: Json = {
  region: "DE",
  catchments: [{ name: "roof", area: "1900 sq ft", runoffCoefficient: 0.95, timeOfConcentration: "6 min" }],
  settlingBox: { length: "3 ft", width: "2 ft", floor: "28 ft", rim: "33 ft", outlet: { diameter: "4 in", invert: "30 ft", length: "16 ft" } },
  chamberBank: {
    floor: "26 ft", length: "13 ft", width: "8 ft", ground: "32.8 ft", stone: { depth: "4.6 ft", porosity: 0.4, base: "6 in" }, coverPorosity: 0.05,
    chambers: [{ count: 3, insideDiameter: "28 in", outsideDiameter: "30 in", height: "44 in" }],
  },
  overflowTrench: {
    floor: "29.2 ft", fall: "4 in", length: "40 ft", width: "20 in", ground: { high: "32 ft", low: "30.8 ft" }, coverPorosity: 0.05,
    stone: { depth: "18 in", porosity: 0.4 }, inlet: { diameter: "4 in", invert: "29.9 ft", length: "6 ft" },
  },
  emitter: { crest: "30.7 ft", diameter: "4 in", opensAtHead: "1/2 in", closesAtHead: "1/8 in" },
  soil: { layers: [{ test: { kind: "percolationHole", diameter: "6 in", waterDepth: "12 in", minutesPerInch: 25 } }] },
  groundwater: { level: "15 ft" },
};

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
    catchments: [roof, run_on], lowSpot: { ...hollow, conductivity: "0 mm/h", groundwaterLevel: "9.5 m" },
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
    soil: { layers: [{ test: { kind: "trialPit", length: "1.6 m", width: "0.6 m", waterDepth: "0.8 m", fills: ["42 min", "50 min", "51 min"].map((time75to25) => ({ time75to25 })) } }], factorOfSafety: 2 },
  }),
  unusual("a hose into the pit", {}, { chamberBank: hydrograph({ time: [0, 3600, 3600], flow: [0.0012, 0.0012, 0] }) }),
  unusual("an emitter under water outside", { emitter: { ...emitter, tailwater: "9.5 m" } }, rain("60 mm")),
  unusual("a water table that falls from over the sill", { groundwater: { level: [step("0 h", "9.6 m"), step("10 h", "9.6 m"), step("40 h", "7 m")] } }),
  unusual("a weep hole under groundwater", { emitter: { ...emitter, weepHole: { diameter: "10 mm", elevation: "8.95 m" } }, groundwater: { level: "9.2 m" } }, rain("20 mm")),
  unusual("the trench under turf that slopes, the soil over it shut", {
    overflowTrench: { ...trench, ground: { high: "10 m", low: "9.4 m" }, cover: { conductivity: "0 mm/h" } },
    emitter: { ...emitter, diameter: "30 mm" },
  }, rain("90 mm")),
  unusual("five storms one after another", {}, records([12, 0, 25, 3, 0, 0, 40, 8, 0, 18, 0, 0, 30])),
  unusual("a pump in the low spot and a hose into the box", { lowSpot: hollow, chamberBank: { ...bank, spillsTo: "lowSpot" }, overflowTrench: undefined, emitter: undefined }, {
    settlingBox: hydrograph({ time: [0, 14_400, 14_400], flow: [0.0015, 0.0015, 0] }),
    lowSpot: hydrograph({ time: [0, 7200, 7200, 36_000, 36_000], flow: [0, 0, -0.0005, -0.0005, 0] }),
  }),
  unusual("feet in Germany, a hole of hand size, no factor of safety", FEET_IN_GERMANY, rain("2 in")),
  unusual("walls that take in nothing, and a pipe that runs uphill", {
    soil: { layers: [{ conductivity: "20 mm/h" }], sides: false, factorOfSafety: 2 },
    settlingBox: { ...box, outlet: { ...box.outlet, invert: "9.2 m", outletInvert: "9.3 m" } },
  }),
  unusual("a pit that starts all but full of groundwater", { groundwater: { level: "9.36 m" } }, rain("10 mm")),
  unusual("a lid frozen for the storm, free after it", { emitter: { ...emitter, heldShut: [{ from: "0 h", to: "2 h" }] } }, rain("60 mm")),
  unusual("a weep hole and no open floor", {
    soil: { layers: [{ conductivity: "20 mm/h" }], floor: false, factorOfSafety: 2 }, emitter: { ...emitter, weepHole: { diameter: "8 mm", elevation: "9.0 m" } },
  }),
  unusual("a weep hole alone in shut soil", {
    soil: { layers: [{ conductivity: "20 mm/h" }], floor: false, sides: false, factorOfSafety: 2 }, emitter: { ...emitter, weepHole: { diameter: "8 mm", elevation: "8.95 m" } },
  }),
  unusual("a box named after the trench, slits in the pipe", {
    catchments: [{ ...roof, drainsTo: "overflowTrenchside box" }], settlingBox: [{ name: "overflowTrenchside box", ...box }],
    overflowTrench: { ...trench, pipe: { ...trench.pipe, openArea: "8 cm^2/m" } },
  }, rain("60 mm")),
  unusual("a trench's water table over the sill, the pit's far below", { overflowTrench: { ...trench, groundwaterLevel: "9.6 m" } }),
  unusual("ground over the pit lower than the pipe into the trench", {
    settlingBox: { ...box, rim: "10.9 m" }, emitter: { ...emitter, crest: "10.5 m" },
    overflowTrench: { ...trench, floor: "10.15 m", ground: "10.8 m", inlet: { ...trench.inlet, invert: "10.2 m" } },
  }, rain("90 mm")),
  unusual("a lid lower than the pipe into the trench", { emitter: { ...emitter, crest: "8.85 m" } }, rain("32 mm")),
  unusual("turf over the trench lower than its lid", {
    overflowTrench: { ...trench, ground: { high: "9.7 m", low: "9.3 m" } }, emitter: { ...emitter, crest: "9.4 m" },
  }, rain("90 mm")),
  unusual("two boxes, one never fed", {
    catchments: [{ ...roof, drainsTo: "east" }],
    settlingBox: [{ name: "east", ...box }, { name: "spare", ...box, outlet: { ...box.outlet, invert: "9.6 m", outletInvert: "9.5 m" } }],
  }),
  unusual("groundwater over the grate, the hollow's own far below", {
    catchments: [roof, run_on], overflowTrench: undefined, emitter: undefined, settlingBox: { ...box, rim: "10.4 m" },
    lowSpot: { ...hollow, groundwaterLevel: "2 m", grate: { level: "9.5 m", perimeter: "1.6 m", area: "0.08 m^2" } }, groundwater: { level: "9.8 m" },
  }),
  unusual("a liner that lets through next to nothing", { soil: { layers: [{ conductivity: "1e-10 m/s" }] } }),
  unusual("groundwater exactly at the floor, levels to watch under water", {
    groundwater: { level: "8.0 m" }, watchLevels: [{ name: "cellar floor", level: "8.1 m" }, { name: "gully", level: "9.35 m" }, { name: "sill", level: "10.1 m" }],
  }),
  unusual("a pit no larger than a bucket", {
    chamberBank: { ...bank, floor: "8.9 m", length: "0.5 m", width: "0.5 m", stone: { depth: "0.5 m", porosity: 0.4 }, chambers: [] }, overflowTrench: undefined, emitter: undefined,
    settlingBox: { ...box, outlet: { ...box.outlet, invert: "9.3 m", outletInvert: "9.25 m" } },
  }, rain("400 mm", "24 h")),
];
