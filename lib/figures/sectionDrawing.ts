import { seriesLevel } from "../ground/seriesLevel.ts";
import { bodiesOf, emitterBody, type Run } from "../simulate/run.ts";
import type { Pipe, Site } from "../site/site.ts";
import { DRY } from "./bodyViews.ts";
import type { FillPattern } from "./figure.ts";
import { lines } from "./look.ts";
import { DEEP_WATER, type DrawnArea, OUTLINE, type Point, rectangle, SATURATED, SOAKED, THIN, WATER } from "./sectionArea.ts";
import type { SectionPlan, Stretch } from "./sectionPlan.ts";

/**
 * The section as areas, the farthest behind first: soil by its layers, stone, chambers, boxes and pipes, and the water
 * that stands in them at a time.
 *
 * @param low   the lowest level drawn [m]
 */
export function sectionDrawing(run: Run, time: number, plan: SectionPlan, low: number): DrawnArea[] {
  const { site } = run;
  return [
    ...soil(site, plan, low), ...groundwater(run, time, plan, low), ...pipes(run, time, plan), ...pit(run, time, plan),
    ...trench(run, time, plan), ...grateArea(run, time, plan), ...boxes(run, time, plan), ...hollowWater(run, time, plan),
    ...riser(run, time, plan), groundOutline(site, plan),
  ];
}

/** The surface from left to right: the rims of boxes, the ground over pit and trench, and down beyond the emitter. */
export function groundLine(site: Site, plan: SectionPlan): Point[] {
  const { settlingBoxes, chamberBank, overflowTrench, emitter } = site;
  const boxes = plan.boxes.flatMap(({ from, to }, i): Point[] => [[from, settlingBoxes[i]!.rim], [to, settlingBoxes[i]!.rim]]);
  const line: Point[] = [
    [plan.whole.from, settlingBoxes[0]!.rim], ...boxes, [plan.pit.from, chamberBank.ground], [plan.pit.to, chamberBank.ground],
  ];
  if (overflowTrench === null || plan.trench === null) {
    return [...line, ...hollowLine(site, plan), [plan.whole.to, site.lowSpot?.lip ?? chamberBank.ground]];
  }
  const { high, low } = overflowTrench.ground;
  line.push([plan.trench.from, high], [plan.trench.to, low]);
  const beyond = emitter === null ? low : Math.min(low, emitter.crest - emitter.diameter / 2);
  if (plan.emitter !== null) line.push([plan.emitter.to, Math.min(low, emitter!.crest)]);
  return [...line, ...hollowLine(site, plan), [plan.whole.to, site.lowSpot?.lip ?? beyond]];
}

const SOILS = [
  texture("#f5eee0", { shape: "-", size: 10, solidity: 0.07, fgcolor: "#dccfb4" }),
  texture("#fbf4e0", { shape: ".", size: 8, solidity: 0.1, fgcolor: "#dcc88f" }),
  texture("#efe8da", { shape: "/", size: 11, solidity: 0.07, fgcolor: "#d3c6ab" }),
];
export const STONE: Readonly<{ fill: string; pattern: FillPattern }> = texture("#efece6", { shape: ".", size: 5.5, solidity: 0.3, fgcolor: "#b3aea3" });

function texture(fill: string, pattern: Omit<FillPattern, "bgcolor">): { readonly fill: string; readonly pattern: FillPattern } {
  return Object.freeze({ fill, pattern: Object.freeze({ ...pattern, bgcolor: fill }) });
}

/** The ground colour of a layer, from the first down. */
export function soilColor(layer: number): string {
  return SOILS[layer % SOILS.length]!.fill;
}

/** Each layer from its top, or the surface, down to the next one's; the surface cuts them all. */
function soil(site: Site, plan: SectionPlan, low: number): DrawnArea[] {
  const surface = groundLine(site, plan);
  return site.soil.layers.map((layer, i) => {
    const foot = Math.max(low, site.soil.layers[i + 1]?.top ?? low);
    // The first layer also reaches above its top.
    const top = i === 0 ? Infinity : layer.top;
    const points: Point[] = [...cutAt(surface, top, foot), [plan.whole.to, foot], [plan.whole.from, foot]];
    return { points, ...SOILS[i % SOILS.length]! };
  });
}

/** A line held between two levels, with the points where it meets the upper one. */
function cutAt(line: readonly Point[], top: number, foot: number): Point[] {
  const cut: Point[] = [];
  line.forEach(([along, level], i) => {
    const before = line[i - 1];
    for (const border of [top, foot]) {
      if (before === undefined || (before[1] - border) * (level - border) >= 0) continue;
      cut.push([before[0] + ((border - before[1]) / (level - before[1])) * (along - before[0]), border]);
    }
    cut.push([along, Math.max(foot, Math.min(top, level))]);
  });
  return cut;
}

/** Rain's water in stone and in chambers, and groundwater in them, which has its own hatch. */
export const GROUNDWATER: FillPattern = Object.freeze({ shape: "/", size: 7, solidity: 0.2, fgcolor: "#3b5166", bgcolor: "rgba(120,146,168,0.45)" });

function pit(run: Run, time: number, plan: SectionPlan): DrawnArea[] {
  const { floor, stone, stoneTop: top, ground, cover } = run.site.chamberBank;
  const level = run.level("chamberBank", time);
  const wet = Math.max(floor, Math.min(top, level));
  const foreign = Math.max(floor, Math.min(wet, groundwaterAt(run, time)));
  const areas: DrawnArea[] = [{ points: rectangle(plan.pit, floor, top), ...STONE }];
  if (wet > foreign) areas.push({ points: rectangle(plan.pit, foreign, wet), fill: WATER });
  if (level > top) areas.push({ points: rectangle(plan.pit, top, underCover(level, ground, cover)), fill: SOAKED });
  for (const chamber of plan.chambers) {
    const [foot, crown] = [floor + stone.base, floor + stone.base + chamber.height];
    areas.push({ points: rectangle(chamber, foot, crown), fill: "#ffffff" });
    const from = Math.max(foot, Math.min(crown, foreign));
    if (wet > from) areas.push({ points: rectangle(chamber, from, Math.min(crown, wet)), fill: DEEP_WATER });
    areas.push({ points: rectangle(chamber, foot, crown), line: THIN });
  }
  if (foreign > floor) areas.push({ points: rectangle(plan.pit, floor, foreign), fill: GROUNDWATER.bgcolor, pattern: GROUNDWATER });
  const left = roomLeft(run, time);
  if (left !== null) areas.push({ points: rectangle(plan.pit, left.low, left.high), line: { color: lines.trench.color, width: 1.6, dash: "dash" } });
  return [...areas, { points: rectangle(plan.pit, floor, top), line: OUTLINE }];
}

/** The room left in the pit for a storm, from its water to where it runs over; null where none is. */
export function roomLeft(run: Run, time: number): { readonly low: number; readonly high: number } | null {
  const { chamberBank: { floor, stoneTop }, overflowTrench } = run.site;
  const high = Math.min(stoneTop, overflowTrench?.inlet.crest ?? Infinity);
  const low = Math.max(floor, run.level("chamberBank", time));
  return high - low < 0.01 ? null : { low, high };
}

/** Under a cover a level over the ground is pressure: the water stands no higher than the ground. */
function underCover(level: number, ground: number, cover: object | null): number {
  return cover === null ? level : Math.min(level, ground);
}

function trench(run: Run, time: number, plan: SectionPlan): DrawnArea[] {
  const { overflowTrench } = run.site;
  if (overflowTrench === null || plan.trench === null) return [];
  const { from, to } = plan.trench;
  const { floor, fall, stone, pipe } = overflowTrench;
  /** A strip along the trench between two heights over its floor. */
  const strip = (low: number, high: number): Point[] => [
    [from, floor + low], [from, floor + high], [to, floor - fall + high], [to, floor - fall + low], [from, floor + low],
  ];
  const areas: DrawnArea[] = [{ points: strip(0, stone.depth), ...STONE }];
  for (const each of trenchWater(run, time, plan.trench)) areas.push(each);
  if (pipe !== null) areas.push({ points: strip(pipe.rise, pipe.rise + pipe.insideDiameter), line: THIN });
  const middle = floor - fall / 2;
  return [...areas, { points: strip(0, stone.depth), line: OUTLINE },
    ...(plan.isBroken ? breakOf(plan.trench, middle, middle + stone.depth) : [])];
}

/** A draughtsman's break: the middle is left out, between two zigzag strokes. */
function breakOf({ from, to }: Stretch, low: number, high: number): DrawnArea[] {
  const [middle, half, reach] = [(from + to) / 2, 0.018 * (to - from), 0.3 * (high - low)];
  const waist = (high + low) / 2;
  const edge = (at: number): Point[] => [
    [at, high + reach], [at, waist + reach / 2], [at - half, waist + reach / 4],
    [at + half, waist - reach / 4], [at, waist - reach / 2], [at, low - reach],
  ];
  const [left, right] = [edge(middle - 1.6 * half), edge(middle + 1.6 * half)];
  return [{ points: [...left, ...right.toReversed(), left[0]!], fill: "#ffffff" }, ...[left, right].map((points): DrawnArea => ({ points, line: THIN }))];
}

/** Water over the sloping floor, level in each segment: in the stone, and fainter in the soil over it. */
function trenchWater(run: Run, time: number, { from, to }: Stretch): DrawnArea[] {
  const { floor, fall, stone, ground, cover } = run.site.overflowTrench!;
  const bodies = bodiesOf(run, "trench");
  const length = (to - from) / bodies.length;
  return bodies.flatMap((body, i): DrawnArea[] => {
    const level = run.level(body, time);
    const points = Array.from({ length: 25 }, (_, k) => from + (i + k / 24) * length).map((along) => {
      const share = (along - from) / (to - from);
      const local = floor - fall * share;
      const stoneTop = local + stone.depth;
      const inSoil = underCover(level, ground.high + (ground.low - ground.high) * share, cover);
      return { along, local, stoneTop, inStone: Math.max(local, Math.min(level, stoneTop)), inSoil: Math.max(inSoil, stoneTop) };
    });
    const between = (low: "local" | "stoneTop", high: "inStone" | "inSoil"): Point[] => [
      ...points.map((each): Point => [each.along, each[high]]),
      ...points.toReversed().map((each): Point => [each.along, each[low]]),
    ];
    return [{ points: between("local", "inStone"), fill: WATER }, { points: between("stoneTop", "inSoil"), fill: SOAKED }];
  });
}

function boxes(run: Run, time: number, plan: SectionPlan): DrawnArea[] {
  return run.site.settlingBoxes.flatMap((box, i): DrawnArea[] => {
    const stretch = plan.boxes[i]!;
    const level = Math.min(run.level(box.name, time), box.rim);
    return [
      { points: rectangle(stretch, box.floor, box.rim), fill: "#ffffff" },
      { points: rectangle(stretch, box.floor, level), fill: DEEP_WATER },
      {
        points: [[stretch.from, box.rim], [stretch.from, box.floor], [stretch.to, box.floor], [stretch.to, box.rim]],
        line: { ...OUTLINE, width: 2 },
      },
    ];
  });
}

function pipes(run: Run, time: number, plan: SectionPlan): DrawnArea[] {
  const { settlingBoxes, overflowTrench } = run.site;
  const pitLevel = run.level("chamberBank", time);
  const areas = settlingBoxes.flatMap(({ outlet, name }, i) =>
    pipe(outlet, { from: plan.boxes[i]!.to, to: plan.pit.from }, run.level(name, time), pitLevel));
  if (overflowTrench === null || plan.trench === null) return areas;
  const first = (bodiesOf(run, "pipe")[0] ?? bodiesOf(run, "trench")[0])!;
  return [...areas, ...pipe(overflowTrench.inlet, { from: plan.pit.to, to: plan.trench.from }, pitLevel, run.level(first, time))];
}

/**
 * A pipe with the water in it, straight from one level to the other as far as the pipe holds it. At an end that falls free,
 * water that runs stands two thirds as deep as over the crest, as at a broad crest's brink (critical depth; from memory).
 */
function pipe({ diameter, invert, outletInvert, crest }: Pipe, { from, to }: Stretch, before: number, after: number): DrawnArea[] {
  const held = (level: number, floor: number): number => Math.max(floor, Math.min(floor + diameter, level));
  const over = before - crest;
  const brink = before > after && over > 0 ? outletInvert + (2 / 3) * over : -Infinity;
  const bed: Point[] = [[from, invert], [to, outletInvert]];
  const walls: Point[] = [...bed, [to, outletInvert + diameter], [from, invert + diameter], [from, invert]];
  return [
    { points: walls, fill: "#ffffff" },
    { points: [...bed, [to, held(Math.max(after, brink), outletInvert)], [from, held(before, invert)]], fill: DEEP_WATER },
    { points: walls, line: THIN },
  ];
}

/** The emitter's riser from the trench's low floor to its crest, its lid down or up. */
function riser(run: Run, time: number, plan: SectionPlan): DrawnArea[] {
  const { emitter, overflowTrench } = run.site;
  if (emitter === null || overflowTrench === null || plan.emitter === null) return [];
  const floor = overflowTrench.lowFloor;
  const level = Math.max(floor, Math.min(run.level(emitterBody(run), time), emitter.crest));
  const { from, to } = plan.emitter;
    const open = run.firings.find(({ start, end }) => start <= time && time <= (end ?? run.until));
  // as far as the water lifts it
  const lift = open === undefined ? 0 : emitter.diameter * (0.4 + Math.sqrt(Math.max(0, run.flow("emitter", time)) / Math.max(1e-9, open.peakFlow)));
  return [
    { points: rectangle(plan.emitter, floor, emitter.crest), fill: "#ffffff" },
    { points: rectangle(plan.emitter, floor, level), fill: DEEP_WATER },
    { points: rectangle(plan.emitter, floor, emitter.crest), line: THIN },
    {
      points: [[from - 0.3 * (to - from), emitter.crest], [to + 0.5 * (to - from), emitter.crest + lift]],
      line: { color: lines.emitter.color, width: 4, dash: "solid" },
    },
  ];
}

/** The ground below the water table, tinted, and its line. */
function groundwater(run: Run, time: number, plan: SectionPlan, low: number): DrawnArea[] {
  const level = groundwaterAt(run, time);
  if (!Number.isFinite(level)) return [];
  const line: DrawnArea = { points: [[plan.whole.from, level], [plan.whole.to, level]], line: { ...lines.rain, dash: "longdash" } };
  if (level <= low) return [line];
  const below = [...cutAt(groundLine(run.site, plan), level, low), [plan.whole.to, low], [plan.whole.from, low]] as const;
  return [{ points: below, fill: SATURATED }, line];
}

function groundOutline(site: Site, plan: SectionPlan): DrawnArea {
  return { points: groundLine(site, plan), line: { color: "#6b5636", width: 2.4, dash: "solid" } };
}

/** The level of the groundwater around the pit [m]; -Infinity where it is far below. */
export function groundwaterAt({ site }: Run, time: number): number {
  return seriesLevel(site.chamberBank.groundwater, time);
}

/** The bed of the low spot from edge to edge, its true shape: h = h1 (r/R)^p. */
function hollowLine({ lowSpot }: Site, plan: SectionPlan): Point[] {
  if (lowSpot === null || plan.lowSpot === null) return [];
  const { from, to } = plan.lowSpot;
  const middle = (from + to) / 2;
  return Array.from({ length: 41 }, (_, i) => i / 20 - 1).map((share) =>
    [middle + (share * (to - from)) / 2, lowSpot.floor + (lowSpot.lip - lowSpot.floor) * Math.abs(share) ** lowSpot.shape]);
}

/** The water in the low spot, over its bed; what stands over the lip is drawn as far as the section goes. */
function hollowWater(run: Run, time: number, plan: SectionPlan): DrawnArea[] {
  if (plan.lowSpot === null) return [];
  const level = run.level("lowSpot", time);
  const bed = hollowLine(run.site, plan).filter(([, bottom]) => bottom < level);
  const { floor, lip, shape } = run.site.lowSpot!;
  if (level - floor <= DRY || bed.length === 0) return [];
  const { from, to } = plan.lowSpot;
  const half = (Math.min(1, (level - floor) / Math.max(lip - floor, DRY)) ** (1 / shape) * (to - from)) / 2;
  const middle = (from + to) / 2;
  return [{ points: [[middle - half, level], ...bed, [middle + half, level]], fill: DEEP_WATER }];
}

/** The shaft of a grate from the pit's stone up, its bars across. */
function grateArea(run: Run, time: number, plan: SectionPlan): DrawnArea[] {
  if (plan.grate === null) return [];
  const { chamberBank, lowSpot } = run.site;
  const [foot, top] = [chamberBank.stoneTop, lowSpot!.grate!.level];
  const level = Math.max(Math.min(foot, top), Math.min(top, run.level("chamberBank", time)));
  return [
    { points: rectangle(plan.grate, foot, top), fill: "#ffffff" },
    { points: rectangle(plan.grate, foot, level), fill: DEEP_WATER },
    { points: rectangle(plan.grate, foot, top), line: THIN },
    { points: [[plan.grate.from, top], [plan.grate.to, top]], line: { color: lines.lowSpot.color, width: 4, dash: "dot" } },
  ];
}
