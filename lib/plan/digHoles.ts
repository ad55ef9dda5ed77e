import { boxPlan } from "./boxPlan.ts";
import { prism, underTurf, type Hole } from "./hole.ts";
import { boxStation } from "./levelRows.ts";
import { pipeRuns, type PipeRun } from "./pipeRuns.ts";
import type { MaterialFigures } from "../site/materials.ts";
import type { ChamberBank, OverflowTrench, SettlingBox, Site } from "../site/site.ts";
import { trenchDepths } from "../site/trenchGround.ts";

/**
 * The holes to be dug and what fills them again, in the water's way: for each box, for the pipe from it, the pit, the pipe to
 * the trench, the trench.
 *
 * Walls are taken upright and the pit is cut to its plan; sloped walls are more. A box's ground is taken at its rim, its hole
 * square round it. A pipe's trench follows the pipe, whose inside diameter stands for its outside; the corner that it shares
 * with a box's hole is dug twice.
 */
export function digHoles(site: Site, figures: MaterialFigures): Hole[] {
  const { settlingBoxes, chamberBank: pit, overflowTrench: trench } = site;
  const { fromBoxes, toTrench } = pipeRuns(site);
  return [
    ...settlingBoxes.flatMap((box, i) => [
      boxHole(box, boxStation(box, site), figures), ...pipeHoles(fromBoxes[i]!, box.rim, pit.ground, figures),
    ]),
    pitHole(pit, figures),
    ...(trench === null ? [] : [
      ...pipeHoles(toTrench!, pit.ground, trench.ground.high, figures), trenchHole(trench, figures),
    ]),
  ];
}

function boxHole(box: SettlingBox, name: string, figures: MaterialFigures): Hole {
  const { boxWall, boxBase, workingSpace, turfThickness } = figures;
  const plan = boxPlan(box, figures);
  const [length, width] = [plan.length + 2 * workingSpace, plan.width + 2 * workingSpace];
  const high = box.rim - box.floor + boxWall;
  const end = { ground: box.rim, floor: box.floor - boxWall - boxBase };
  const round = underTurf(length * width - plan.area, [high, high], turfThickness);
  return {
    kind: "box", name, length, width, ends: [end, end], depths: [high + boxBase, high + boxBase], volume: length * width * (high + boxBase),
    back: { ...round, taken: plan.area * high, bed: length * width * boxBase },
  };
}

/** No hole without a length: the pipe is then a mouth in a wall. */
function pipeHoles({ name, length, pipe }: PipeRun, from: number, to: number, figures: MaterialFigures): Hole[] {
  const { diameter, invert, outletInvert } = pipe;
  if (length === 0) return [];
  const { pipeTrenchWidth: width, pipeBed, turfThickness } = figures;
  const area = length * width;
  const over: [number, number] = [from - invert, to - outletInvert];
  const dug: [number, number] = [over[0] + pipeBed, over[1] + pipeBed];
  const { soil, turf, turfArea } = underTurf(area, over, turfThickness);
  const taken = Math.min(soil, (Math.PI / 4) * diameter ** 2 * length);
  const volume = prism(area, dug);
  return [{
    kind: "pipe", name, length, width,
    ends: [{ ground: from, floor: invert - pipeBed }, { ground: to, floor: outletInvert - pipeBed }],
    depths: [Math.max(0, dug[0]), Math.max(0, dug[1])], volume,
    back: { taken, bed: volume - soil - turf, soil: soil - taken, turf, turfArea },
  }];
}

function pitHole({ ground, floor, length, width, stone }: ChamberBank, { turfThickness }: MaterialFigures): Hole {
  const area = length * width;
  const depth = ground - floor;
  const cover = depth - stone.depth;
  return {
    kind: "pit", name: "pit", length, width, ends: [{ ground, floor }, { ground, floor }],
    depths: [depth, depth], volume: area * depth,
    back: { ...underTurf(area, [cover, cover], turfThickness), taken: area * stone.depth, bed: 0 },
  };
}

/** The stone's top falls with the floor; the ground runs straight from one end to the other. */
function trenchHole(trench: OverflowTrench, { turfThickness }: MaterialFigures): Hole {
  const { length, width, stone } = trench;
  const area = length * width;
  const depths = trenchDepths(trench);
  return {
    kind: "trench", name: "overflow trench", length, width,
    ends: [{ ground: trench.ground.high, floor: trench.floor }, { ground: trench.ground.low, floor: trench.lowFloor }],
    depths, volume: prism(area, depths),
    back: { ...underTurf(area, [depths[0] - stone.depth, depths[1] - stone.depth], turfThickness), taken: area * stone.depth, bed: 0 },
  };
}
