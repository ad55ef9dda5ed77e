import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { soilProfile } from "../../lib/ground/soilProfile.ts";
import { LAW } from "../../lib/simulate/network.ts";
import { hollowSeepageRow } from "../../lib/works/passageRows.ts";
import { seepageRow, type SeepageFaces } from "../../lib/works/seepage.ts";
import { expectClose } from "../closeTo.ts";
import { onePassage } from "../kernel/onePassage.ts";
import { shareOf } from "../share.ts";

type Layers = readonly { readonly top: number; readonly conductivity: number }[];

const PIT = { highFloor: 5, lowFloor: 5, depth: 1.2, length: 4, width: 2.5, highEnd: true, lowEnd: true, sides: true, pathLength: 2.5 };

const mm = (least: number, most: number): fc.Arbitrary<number> => fc.integer({ min: least, max: most }).map((n) => n / 1000);
const cases = fc.record({
  fall: fc.oneof(mm(1, 20), mm(20, 900)), depth: mm(100, 1200), length: mm(2000, 30_000), width: mm(300, 1500),
  highEnd: fc.boolean(), lowEnd: fc.boolean(), floorShare: fc.constantFrom(1, 0.4, 0), sides: fc.boolean(), pathLength: mm(50, 3000),
  layers: fc.array(
    fc.record({ thickness: mm(30, 700), conductivity: fc.integer({ min: 1, max: 500 }).map((n) => n * 1e-7) }),
    { minLength: 1, maxLength: 4 },
  ),
  topOfLayers: mm(-200, 1500), H: mm(-300, 2000), G: mm(-1500, 2000),
}).map(({ fall, topOfLayers, layers, H, G, ...rest }) => {
  const faces: SeepageFaces = { ...rest, highFloor: 100 + fall, lowFloor: 100 };
  let top = 100 + topOfLayers;
  const stacked: Layers = layers.map(({ thickness, conductivity }, i) => {
    const layer = { top: i === 0 ? Infinity : top, conductivity };
    top -= i === 0 ? 0 : thickness;
    return layer;
  });
  return { faces, layers: stacked, H: 100 + H + 0.0002, G: 100 + G };
});

describe("seepage of a sloping trench", () => {
  test("is the integral of section 3 of the model along its length, by brute force", () => {
    let came = 0;
    let soaked = 0;
    fc.assert(fc.property(cases, ({ faces, layers, H, G }) => {
      const flow = seepage(faces, layers, H, G);
      const expected = byQuadrature(faces, layers, H, G);
      const scale = { relative: 1e-9, absolute: 1e-20, because: "the brute force is exact between all corners but for round-off of levels near 100 m" };
      expectClose(flow, expected, scale);
      came += flow < 0 ? 1 : 0;
      soaked += flow > 0 ? 1 : 0;
    }), { seed: 21, numRuns: shareOf(5000) });
    expect(Math.min(came, soaked)).toBeGreaterThan(shareOf(660));
  });

  test("of hardly any fall is that of a level one", () => {
    const faces = { ...PIT, depth: 0.5, length: 10, width: 0.8, floorShare: 1, pathLength: 0.8, lowFloor: 10 };
    const layers = [{ top: Infinity, conductivity: 1e-5 }];
    for (const G of [-Infinity, 9.9, 10.7]) {
      const level = seepage({ ...faces, highFloor: 10 }, layers, 10.3, G);
      expectClose(seepage({ ...faces, highFloor: 10.000001 }, layers, 10.3, G), level, { relative: 1e-5, because: "a micrometre of fall in 0.1 m of head" });
    }
  });
});

test("seepage of a level pit in one soil is K (A + P y) at gradient 1 (by hand)", () => {
  const faces = { ...PIT, floorShare: 1 };
  const layers = [{ top: Infinity, conductivity: 1e-5 }];
  const digits = { relative: 1e-12, because: "round-off" };
  expectClose(seepage(faces, layers, 5.8, -Infinity), 1e-5 * (10 + 13 * 0.8), digits);
  // the wetted wall ends at the stone top
  expectClose(seepage(faces, layers, 6.9, -Infinity), 1e-5 * (10 + 13 * 1.2), digits);
  // half a path above the table: half the gradient; below it groundwater comes in through all it wets, at gradient 1 at most
  expectClose(seepage(faces, layers, 5.8, 5.8 - 1.25), 0.5e-5 * (10 + 13 * 0.8), digits);
  expectClose(seepage(faces, layers, 5.1, 5.6), -(0.5 / 2.5) * 1e-5 * (10 + 13 * 0.6), digits);
  expectClose(seepage(faces, layers, 5, 9), -1e-5 * (10 + 13 * 1.2), digits);
  // half a millimetre of water wets half the floor
  expectClose(seepage(faces, layers, 5.0005, -Infinity), 1e-5 * (5 + 13 * 0.0005), { relative: 1e-9, because: "round-off of 5.0005 - 5" });
});

test("layers count each over its own height, the floor in the one just below it", () => {
  const faces = { ...PIT, floorShare: 0.5 };
  const layers = [{ top: Infinity, conductivity: 1e-6 }, { top: 5.5, conductivity: 1e-5 }, { top: 5, conductivity: 4e-5 }];
  expectClose(seepage(faces, layers, 5.8, -Infinity), 4e-5 * 5 + 13 * (1e-5 * 0.5 + 1e-6 * 0.3), { relative: 1e-12, because: "round-off" });
});

test("seepage under a low spot is i K A at its own level, or at the groundwater's up to its lip (by hand)", () => {
  const hollow = onePassage(LAW.hollowSeepage, hollowSeepageRow({ floor: 3, depth: 0.2, area: 50, shape: 2, lip: 3.4 }, 2e-6, 4));
  const flow = (H: number, G: number): number => hollow(H, G)[0];
  const digits = { relative: 1e-12, because: "round-off" };
  expectClose(flow(3.1, -Infinity), 2e-6 * 25, digits);
  expectClose(flow(3.1, 2.1), 0.25 * 2e-6 * 25, digits);
  expectClose(flow(3.1, 3.3), -0.05 * 2e-6 * 75, digits);
  expectClose(flow(3, 9), -2e-6 * 100, digits);
});

function seepage(faces: SeepageFaces, layers: Layers, H: number, G: number): number {
  return onePassage(LAW.seepage, seepageRow(faces, soilProfile(layers, 1)))(H, G)[0];
}

/**
 * Section 3 of the model read literally: at each local floor f the flow of a slice, i (K_floor w min(1, y/d) + 2 int K dz),
 * and the two end faces; summed along the floor by Gauss points on stretches so cut that the integrand is a polynomial on each.
 */
function byQuadrature(faces: SeepageFaces, layers: Layers, H: number, G: number): number {
  const { highFloor, lowFloor, depth, length, width, floorShare, pathLength } = faces;
  const film = 1e-3;
  const conductivityAt = (z: number): number => {
    let k = layers[0]!.conductivity;
    for (const layer of layers.slice(1)) if (z <= layer.top) k = layer.conductivity;
    return k;
  };
  const behind = (from: number, to: number): number => {
    const cuts = [from, ...layers.map((layer) => layer.top).filter((top) => top > from && top < to), to].sort((a, b) => a - b);
    return cuts.slice(1).reduce((sum, z, i) => sum + conductivityAt((z + cuts[i]!) / 2) * (z - cuts[i]!), 0);
  };
  const slice = (f: number, floorWidth: number, walls: number): number => {
    const top = Math.max(f, Math.min(Math.max(H, G), f + depth));
    const y = top - f;
    const i = Math.max(-1, Math.min(1, (Math.max(H, f) - G) / pathLength));
    return i * (floorWidth * floorShare * conductivityAt(f) * Math.min(1, y / film) + walls * (faces.sides ? behind(f, top) : 0));
  };
  const wet = Math.max(H, G);
  const borders = layers.slice(1).map((layer) => layer.top);
  const corners = [H, G, wet - depth, wet - film, G - pathLength, G + pathLength, ...borders, ...borders.map((top) => top - depth)];
  const cuts = [lowFloor, ...corners.filter((f) => f > lowFloor && f < highFloor), highFloor].sort((a, b) => a - b);
  let flow = 0;
  for (let n = 0; n + 1 < cuts.length; n++) {
    const half = (cuts[n + 1]! - cuts[n]!) / 2;
    // three points are exact to degree 5, the integrand is of degree 2 at the most
    for (const [u, weight] of [[-Math.sqrt(0.6), 5 / 9], [0, 8 / 9], [Math.sqrt(0.6), 5 / 9]] as const) {
      flow += ((weight * half * length) / (highFloor - lowFloor)) * slice(cuts[n]! + half * (1 + u), width, 2);
    }
  }
  return flow + (faces.highEnd ? slice(highFloor, 0, width) : 0) + (faces.lowEnd ? slice(lowFloor, 0, width) : 0);
}
