// Pages of decisions about small invented sites, as lines of text; and runs of their designs made again, each from a site file that is
// written with the sizes of the design, for what the pages say to be computed again.
import { hyetograph, type Hyetograph } from "../../lib/rain/hyetograph.ts";
import { designPart } from "../../lib/report/designPart.ts";
import { hangsOnPart } from "../../lib/report/hangsOnPart.ts";
import { sizePart } from "../../lib/report/sizePart.ts";
import { studyPage } from "../../lib/report/studyPage.ts";
import { sweepPart } from "../../lib/report/sweepPart.ts";
import { withPart } from "../../lib/report/withPart.ts";
import { takeOff } from "../../lib/plan/takeOff.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { roomLeft } from "../../lib/plan/roomLeft.ts";
import { siting } from "../../lib/plan/siting.ts";
import { simulate } from "../../lib/simulate/simulate.ts";
import { readSite } from "../../lib/site/readSite.ts";
import type { Site } from "../../lib/site/site.ts";
import { size } from "../../lib/study/size.ts";
import type { SizeOptions } from "../../lib/study/sizeCases.ts";
import { sweep } from "../../lib/study/sweep.ts";
import type { SweepOptions } from "../../lib/study/sweepCases.ts";
import { withByDuration } from "../../lib/study/withWorks.ts";

export type Json = Readonly<Record<string, unknown>>;

export const [HOUR, DAY] = [3600, 86_400];
export const [ROOF, SHED, LAYERS, FACTOR] = [180, 0.95, [[10, 12], [8.9, 30]], 2] as const;
export const [CHAMBERS, PIT, WIDTH, GROUND, FLOOR, WATER] = [3, 4, 2.5, 10, 8, 2] as const;
export const DEPTHS: Readonly<Record<string, readonly [two: number, ten: number]>> = { "30 min": [14, 24], "2 h": [22, 38], "12 h": [34, 56] };
export const LASTS: Readonly<Record<string, number>> = { "30 min": HOUR / 2, "2 h": 2 * HOUR, "12 h": 12 * HOUR, "1 h": HOUR, "1 day": DAY };
export const STORMS: Readonly<Record<string, readonly [depth: number, duration: number]>> = { cloudburst: [40, HOUR], "wet day": [60, DAY] };

export const box = {
  length: "0.8 m", width: "0.6 m", floor: "8.6 m", rim: "10.1 m",
  outlet: { diameter: "110 mm", invert: "9.2 m", outletInvert: "9.15 m", length: "5 m" },
};
export const pit = {
  floor: `${FLOOR} m`, length: `${PIT} m`, width: `${WIDTH} m`, ground: `${GROUND} m`, stone: { depth: "1.4 m", porosity: 0.4, base: "0.15 m" },
  coverPorosity: 0.05, chambers: [{ count: CHAMBERS, insideDiameter: "0.75 m", outsideDiameter: "0.8 m", height: "1.1 m" }],
};
export const trench = {
  floor: "8.9 m", fall: "0.1 m", length: "12 m", width: "0.5 m", ground: "9.7 m", coverPorosity: 0.05, stone: { depth: "0.45 m", porosity: 0.4 },
  pipe: { insideDiameter: "100 mm", outsideDiameter: "113 mm", bedding: "50 mm" }, inlet: { diameter: "110 mm", invert: "9.1 m", length: "2 m" },
};
export const rainfall = {
  source: "invented", unit: "mm", returnPeriods: ["2 year", "10 year"], rows: Object.fromEntries(Object.entries(DEPTHS).map(([d, mm]) => [d, [...mm]])),
};
export const both: SizeOptions = {
  rainfall, criteria: [{ storm: "cloudburst", noFiring: true }, { storm: { returnPeriod: "10 year" }, emptyWithin: "72 h" }],
  steps: { chambers: [2, 3, 4], trenchLength: ["8 m", "12 m"] },
};
export const noSpill: SizeOptions = { rainfall, criteria: [{ storm: { returnPeriod: "10 year" }, noSpill: true }], steps: { pitLength: ["3 m", "8 m"] } };
export const swept: SweepOptions = { rainfall, returnPeriods: ["2 year", "10 year"], durations: Object.keys(DEPTHS) };
export const USUAL: Json = {
  name: "Test Yard", catchments: [{ name: "roof", area: `${ROOF} m^2`, runoffCoefficient: SHED, timeOfConcentration: "6 min" }],
  settlingBox: box, chamberBank: pit, overflowTrench: trench, emitter: { crest: "9.35 m", diameter: "100 mm", opensAtHead: "12 mm", closesAtHead: "3 mm" },
  soil: { layers: LAYERS.map(([top, rate]) => ({ top: `${top} m`, conductivity: `${rate} mm/h` })), factorOfSafety: FACTOR },
  groundwater: { level: `${WATER} m` },
  storms: Object.entries(STORMS).map(([name, [mm, s]]) => ({ name, pattern: "block", depth: `${mm} mm`, duration: `${s / HOUR} h` })),
  studies: { rainfall },
};
/** A lot of 8 m by 12 m, the pit in its middle, and a rule of the site's own that none of the pits keeps. */
export const LOT = { width: 8, depth: 12, asked: 6 } as const;
export const NO_ROOM: Json = {
  ...USUAL, surroundings: {
    works: { pit: { at: [`${LOT.width / 2} m`, `${LOT.depth / 2} m`], turnedDegrees: 0 }, boxes: [["1 m", "11 m"]], trench: [["1 m", "1 m"], ["1 m", "11 m"]] },
    features: [{ kind: "boundary", outline: [["0 m", "0 m"], [`${LOT.width} m`, "0 m"], [`${LOT.width} m`, `${LOT.depth} m`], ["0 m", `${LOT.depth} m`]] }],
    rules: [{ from: "boundary", distance: `${LOT.asked} m`, says: "the town, invented" }],
  },
};
/** A lot with room on all sides: the emitter, at the end of its trench, nearest to the boundary in the west. */
export const ROOMY: Json = {
  ...USUAL, surroundings: {
    works: { pit: { at: ["12 m", "14 m"], turnedDegrees: 0 }, boxes: [["6 m", "4 m"]], trench: [["6 m", "6 m"], ["6 m", "18 m"]] },
    features: [{ kind: "boundary", outline: [["0 m", "0 m"], ["24 m", "0 m"], ["24 m", "28 m"], ["0 m", "28 m"]] }],
    rules: [{ from: "boundary", distance: "5 m", says: "the town, invented" }],
  },
};
export const TO_BOUNDARY = 6;
export const NO_TRENCH: Json = { ...USUAL, overflowTrench: undefined, emitter: undefined };

/** A line of the page: where it stands, under which head of a table and which group of it. */
export interface Line {
  readonly section: string;
  readonly head: string;
  readonly group: string;
  readonly text: string;
}

/** What is free in these studies, as a file has it: chambers bring their length of pit with them. */
export interface Design {
  readonly chambers: number;
  readonly pit: number;
  readonly trench: number | null;
}

export interface Page {
  readonly file: Json;
  /** what the emitter may let out in the cloudburst [m3] */
  readonly limit: number;
  /** what a tape of the file's units shows: half an inch, or a centimetre [m] */
  readonly step: number;
  /** what the page is about, and what the file has */
  readonly design: Design;
  readonly drawn: Design;
  /** every combination of the steps */
  readonly tried: readonly Design[];
  readonly isChosen: boolean;
  /** what the plan says of pipes and trench, and where such a pit would keep every distance: held against geometry in tests/plan */
  readonly onPlan: { readonly notes: readonly string[]; readonly share: number | null };
  readonly lines: readonly Line[];
}

export async function pageOf(file: Json, asked: SizeOptions, tried: readonly Design[], limit: number = 0): Promise<Page> {
  const site = readSite(file);
  const sizing = await size(site, asked);
  const chosen = sizing.best?.site ?? site;
  const storms = Object.keys(STORMS).map((name) => ({ name, run: settledRun(chosen, stormOf(name)) }));
  const parts = [
    designPart(sizing, chosen, null), sizePart(sizing), sweepPart(await sweep(chosen, swept)),
    withPart(storms, withByDuration(chosen)), hangsOnPart(storms),
  ];
  return {
    file, tried, limit, step: stepOf(site), design: designOf(chosen), drawn: designOf(site), isChosen: sizing.best !== null,
    onPlan: { notes: siting(chosen).notes, share: roomLeft(chosen)?.share ?? null },
    lines: linesOf(studyPage(chosen, parts)),
  };
}

/** The same file in feet and inches, to the last digit. */
export function inFeet<T>(file: T): T {
  return JSON.parse(JSON.stringify(file), (_, value: unknown) => {
    const [, figure, unit] = typeof value === "string" ? /^(-?[\d.]+) (m|mm|m\^2|m\^3|mm\/h)$/.exec(value) ?? [] : [];
    const [size, name] = unit === undefined ? [] : IN_FEET[unit]!;
    return name === undefined ? value : `${Number((Number(figure) / size!).toPrecision(15))} ${name}`;
  }) as T;
}

const IN_FEET: Readonly<Record<string, readonly [size: number, name: string]>> = {
  "m": [0.3048, "ft"], "mm": [25.4, "in"], "m^2": [0.09290304, "sq ft"], "m^3": [0.003785411784, "gal"], "mm/h": [25.4, "in/h"],
};

export function stepOf({ units }: Site): number {
  return units === "us" ? 0.0127 : 0.01;
}

export function designOf({ chamberBank, overflowTrench }: Site): Design {
  return { chambers: chamberBank.chambers[0]!.count, pit: chamberBank.length, trench: overflowTrench?.length ?? null };
}

/** The page's words up to the cautions: sentence by sentence, and row by row. */
export function linesOf(page: string): Line[] {
  const [own] = page.slice(page.indexOf("<body")).split('<section aria-labelledby="cautions-name">');
  const texts = own!
    .replace(/<script[^]*?<\/script>|<style[^]*?<\/style>|<svg[^]*?<\/svg>/g, "")
    .replace(/<section[^>]*id="([\w-]+)"[^>]*>/g, "\n@section $1\n")
    .replace(/\s*<thead><tr>/g, "\n@head ").replace(/<tr class="group">/g, "\n@group ").replace(/<\/table>/g, "\n@head \n")
    .replace(/<\/t[hd]>\s*<t[hd]/g, "</td> | <td")
    .replace(/<\/(p|h[1-6]|li|tr|figcaption|caption|summary)>|<\/span>|<a [^>]*>.*?<\/a>/g, "\n")
    .replace(/<[^>]*>/g, "").replace(/&#(\d+);/g, (_, code: string) => String.fromCharCode(Number(code)))
    .split("\n").map((line) => line.replace(/[\s\u00a0]+/g, " ").replace(/^ /, "").replace(/(?<=[^|]) $/, ""));
  let [section, head, group] = ["top", "", ""];
  return texts.flatMap((line): Line[] => {
    const [, mark, rest] = /^@(section|head|group) ?(.*)$/.exec(line) ?? [];
    if (mark === "section") [section, head, group] = [rest!, "", ""];
    if (mark === "head") [head, group] = [rest!, ""];
    if (mark === "group") group = rest!;
    if (mark !== undefined || line === "") return [];
    return (line.includes(" | ") ? [line] : line.split(/(?<=\.|”\.)\s+(?=[A-Z0-9“])/)).map((text) => ({ section, head, group, text }));
  });
}

/** What carries a figure: a number, or a word that stands for one, and every row of a table. */
export const FIGURE = /\d|\bnone\b|\bone does\b|^One step|\|/;

/** What a layer of soil takes in [m/s]. */
export const rate = (layer: 0 | 1, factor: number = 1): number => (LAYERS[layer][1] * 1e-3) / HOUR / factor;

export function stormOf(name: string): Hyetograph {
  const [, years, duration] = /^(2|10)-year (.+)$/.exec(name) ?? [];
  const [mm, lasts] = duration === undefined ? STORMS[name]! : [DEPTHS[duration]![years === "2" ? 0 : 1], LASTS[duration]!];
  return hyetograph({ time: [0, lasts], depth: [mm / 1000] });
}

/** The site of a design, read from a file that has its sizes; with silt over its floors, or in soil that takes in nothing. */
export function siteOf({ file, step }: Page, { chambers, pit: length, trench: long }: Design, floors: "open" | "sealed" | "nothing soaks" = "open"): Site {
  const open = floors === "sealed" ? { openFloorShare: 0 } : {};
  const its = {
    chamberBank: { ...pit, length: `${length} m`, chambers: [{ ...pit.chambers[0], count: chambers }], ...open },
    ...(long !== null && { overflowTrench: { ...trench, length: `${long} m`, ...open } }),
    ...(floors === "nothing soaks" && { soil: { layers: [{ conductivity: "1 mm/h" }], floor: false, sides: false } }),
  };
  return readSite({ ...file, surroundings: undefined, ...(step === 0.01 ? its : inFeet(its)) });
}

export const RUNS = new Map<string, Run>();

export function runOf(page: Page, design: Design, storm: string, floors: "open" | "sealed" = "open", days: number | null = null): Run {
  const key = JSON.stringify([page.file["emitter"], design, storm, floors, days]);
  const run = RUNS.get(key) ?? simulate(siteOf(page, design, floors), stormOf(storm), days === null ? {} : { until: days * DAY });
  RUNS.set(key, run);
  return run;
}

export const own = (page: Page, storm: string): Run => runOf(page, page.design, storm);
export const ten = Object.keys(DEPTHS).map((duration) => `10-year ${duration}`);
export const dug = (page: Page, design: Design): number => takeOff(siteOf(page, design)).dig.volume;
export const pitPeak = ({ peaks }: Run): number => peaks["chamberBank"]!.level;
export const headroom = (run: Run): number => 10.1 - run.peaks[run.bodies[0]!.name]!.level;

/** How long the pit takes to empty after a storm, and the storm of ten years that takes longest or brings most to the surface. */
export function emptyAfter(page: Page, design: Design, storm: string, floors: "open" | "sealed" = "open"): number {
  return runOf(page, design, storm, floors, 40).drainDown.empty!;
}

export interface Reached {
  readonly value: number;
  readonly met: boolean;
  readonly storm: string;
}

/** What a design reaches of what is asked, and whether that is met. */
export function reached(page: Page, design: Design, asked: number, floors: "open" | "sealed" = "open"): Reached {
  const criterion = page.file["emitter"] === undefined ? "spill" : asked === 0 ? "fire" : "empty";
  const of = (storm: string): number => {
    if (criterion === "empty") return emptyAfter(page, design, storm, floors);
    const run = runOf(page, design, storm, floors);
    return criterion === "fire" ? run.emitted : run.spilled;
  };
  const storm = (criterion === "fire" ? ["cloudburst"] : ten).reduce((worst, each) => (of(each) > of(worst) ? each : worst));
  return { value: of(storm), storm, met: of(storm) <= (criterion === "empty" ? 72 * HOUR : criterion === "fire" ? Math.max(1e-4, page.limit) : 1e-4) };
}

export const asks = ({ file }: Page): readonly number[] => (file["emitter"] === undefined ? [0] : [0, 1]);
export const does = (page: Page, design: Design, floors: "open" | "sealed" = "open"): boolean => asks(page).every((c) => reached(page, design, c, floors).met);
export const letOut = (page: Page, design: Design): number => Math.max(...["cloudburst", ...ten].map((storm) => runOf(page, design, storm).emitted));

/** What leaves the lot with works [m3], and the most of it at once [m3/s]. */
export function leaves(run: Run): { readonly volume: number; readonly peak: number } {
  const out = run.passages.filter((name) => /^(emitter|boxSpill|bankSpill|trenchSpill)\b/.test(name));
  const at = (time: number): number => out.reduce((sum, name) => sum + Math.max(0, run.flow(name, time)), 0);
  return { volume: run.emitted + run.spilled, peak: Math.max(...[...run.times].map(at), ...run.firings.map(({ peakFlow }) => peakFlow)) };
}

/** What the roof sheds without works: C A P, and C A i where the storm outlasts its time of concentration. */
export function sheds(storm: string): { readonly volume: number; readonly peak: number } {
  const { time, depth } = stormOf(storm);
  const volume = SHED * ROOF * depth.reduce((sum, each) => sum + each, 0);
  return { volume, peak: volume / time.at(-1)! };
}
