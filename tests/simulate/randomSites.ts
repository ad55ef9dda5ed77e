import fc from "fast-check";

/**
 * Random valid site files, by construction: levels are built up from the pit's floor so that nothing section 6 of the
 * model refuses can come out. Lengths are whole millimetres, so that levels now and then coincide as they do on plans.
 */
export interface SiteText {
  readonly json: Record<string, unknown>;
  /** names of the bodies a hydrograph may run into */
  readonly bodies: readonly string[];
}

/** How a plan's numbers are written: the same site in metres or in feet and inches. */
export interface Writer {
  length(metres: number): string;
  area(squareMetres: number): string;
  conductivity(millimetresAnHour: number): string;
}

export const METRES: Writer = {
  length: (m) => `${m} m`,
  area: (m2) => `${m2} m^2`,
  conductivity: (mm_h) => `${mm_h} mm/h`,
};

export const FEET: Writer = {
  length: (m) => `${m / 0.3048} ft`,
  area: (m2) => `${m2 / (0.3048 * 0.3048)} ft^2`,
  conductivity: (mm_h) => `${mm_h / 25.4} in/hr`,
};

/** A plan in numbers, before it is written: metres, mm/h. */
export type Plan = ReturnType<typeof plain> extends fc.Arbitrary<infer P> ? P : never;

const mm = (least: number, most: number): fc.Arbitrary<number> =>
  fc.integer({ min: Math.round(least * 1000), max: Math.round(most * 1000) }).map((n) => n / 1000);
const share = (least: number, most: number): fc.Arbitrary<number> => mm(least, most);
const maybe = <T>(arbitrary: fc.Arbitrary<T>): fc.Arbitrary<T | null> => fc.option(arbitrary, { nil: null });
/** conductivities spread evenly over decades, as soils do [mm/h] */
const conductivity = (least: number, most: number): fc.Arbitrary<number> =>
  fc.integer({ min: Math.round(100 * Math.log10(least)), max: Math.round(100 * Math.log10(most)) }).map((n) => 10 ** (n / 100));

const box = fc.record({
  round: fc.boolean(), side: mm(0.3, 1.2), otherSide: mm(0.3, 1.2), sump: mm(0, 0.8), aboveCrest: mm(0.05, 1),
  outlet: fc.record({ diameter: mm(0.08, 0.2), drop: mm(-0.1, 0.1), length: mm(0, 10), manningN: fc.constantFrom(0.009, 0.011, 0.013) }),
  crest: mm(0.05, 2),
});

const chamber = fc.record({ count: fc.integer({ min: 1, max: 3 }), inside: mm(0.3, 0.9), wall: mm(0, 0.05), heightShare: share(0.3, 1) });

const trench = fc.record({
  floor: mm(0, 1), fall: fc.oneof(fc.constant(0), mm(0.001, 0.5)), length: mm(4, 30), width: mm(0.3, 1), depth: mm(0.3, 0.8),
  porosity: share(0.25, 0.5), overStone: mm(0.05, 0.6), groundDrop: fc.oneof(fc.constant(0), share(-0.5, 0.95)),
  inletRise: mm(0.15, 0.7), inletLength: mm(0, 4), inletDiameter: mm(0.07, 0.16),
  pipe: maybe(fc.record({ inside: mm(0.06, 0.14), wall: mm(0, 0.01), bedding: mm(0, 0.1) })),
});

const emitter = fc.record({
  rise: mm(0.05, 0.9), diameter: mm(0.03, 0.15), opens: mm(0.008, 0.03), closesShare: share(0, 0.5),
  weep: maybe(fc.record({ diameter: mm(0.004, 0.03), rise: mm(-0.2, 0.3), soakArea: maybe(mm(0.01, 1)) })), tailwater: maybe(mm(-0.2, 0.2)),
});

const soil = fc.record({
  layers: fc.array(fc.record({ conductivity: conductivity(0.3, 400), thickness: mm(0.05, 1.2) }), { minLength: 1, maxLength: 3 }),
  floor: fc.constantFrom(true, true, true, false), sides: fc.constantFrom(true, true, true, false), factorOfSafety: mm(1, 2.5),
});

/** Sites of section 6 of the model. */
export function plain() {
  return fc.record({
    datum: fc.constantFrom(0, 10, 137.25, 1608.4),
    boxes: fc.array(box, { minLength: 1, maxLength: 1 }),
    bank: fc.record({
      length: mm(1.2, 6), width: mm(1.2, 3), depth: mm(0.5, 2), porosity: share(0.25, 0.5), base: mm(0, 0.2),
      chambers: fc.array(chamber, { maxLength: 2 }), overStone: mm(0.02, 0.8), coverPorosity: fc.constantFrom(0.05, 0.2),
    }),
    trench: maybe(trench),
    emitter: maybe(emitter),
    soil,
    groundwater: maybe(fc.record({ level: mm(-3, 1.2), pathLength: maybe(mm(0.2, 6)) })),
  });
}

/** What section 7 of the model adds; null or absent where a site has none of it. */
export interface Extras {
  readonly boxes: readonly (Plan["boxes"][number])[];
  readonly lowSpot: LowSpotPlan | null;
  readonly bankCover: number | null;
  readonly trenchCover: number | null;
  readonly openArea: number | null;
  readonly segments: number;
  readonly heldShut: readonly { readonly from: number; readonly hours: number }[];
  readonly tableInTime: readonly { readonly hours: number; readonly level: number }[];
  readonly trenchTable: number | null;
  readonly temperature: number;
  readonly openFloorShare: number;
}

interface LowSpotPlan {
  readonly rise: number; readonly depth: number; readonly area: number; readonly shape: number;
  readonly lip: number; readonly lipLength: number;
  readonly conductivity: number;
  readonly grate: { readonly rise: number; readonly perimeter: number; readonly area: number } | null;
  readonly takesEmitter: boolean; readonly takesBox: boolean; readonly takesBank: boolean; readonly takesTrench: boolean;
}

export const extras: fc.Arbitrary<Extras> = fc.record({
  boxes: fc.array(box, { maxLength: 2 }),
  lowSpot: maybe(fc.record({
    rise: mm(0.3, 1.5), depth: mm(0.05, 0.4), area: mm(5, 200), shape: mm(0.6, 5), lip: mm(0.02, 0.5), lipLength: mm(0.5, 5),
    conductivity: conductivity(0.5, 100),
    grate: maybe(fc.record({ rise: mm(0, 0.3), perimeter: mm(0.5, 3), area: mm(0.02, 0.4) })),
    takesEmitter: fc.boolean(), takesBox: fc.boolean(), takesBank: fc.boolean(), takesTrench: fc.boolean(),
  })),
  bankCover: maybe(conductivity(1, 200)),
  trenchCover: maybe(conductivity(1, 200)),
  openArea: maybe(mm(0.001, 0.02)),
  segments: fc.integer({ min: 1, max: 3 }),
  heldShut: fc.array(fc.record({ from: fc.integer({ min: 0, max: 20 }), hours: fc.integer({ min: 1, max: 10 }) }), { maxLength: 2 }),
  tableInTime: fc.array(fc.record({ hours: fc.integer({ min: 1, max: 20 }), level: mm(-2, 1) }), { maxLength: 3 }),
  trenchTable: maybe(mm(-1, 1)),
  temperature: fc.constantFrom(20, 8),
  openFloorShare: fc.constantFrom(1, 0.3, 0),
});

/** The rest of section 7: what few files hold. */
export interface Rarities {
  readonly mounding: { readonly conductivity: number; readonly thickness: number; readonly specificYield: number } | null;
  readonly bankTable: number | null;
  readonly hollowTable: number | null;
  /** clear share of each chamber's wall */
  readonly wallOpenings: number | null;
  readonly entranceLoss: number;
  readonly bendLoss: number;
  readonly coverDensity: number | null;
  /** how far the inlet of the trench falls, or rises below 0 */
  readonly inletDrop: number;
}

export const rarities: fc.Arbitrary<Rarities> = fc.record({
  mounding: maybe(fc.record({ conductivity: conductivity(20, 20_000), thickness: mm(0.5, 10), specificYield: share(0.02, 0.35) })),
  bankTable: maybe(mm(-2, 1)), hollowTable: maybe(mm(-1, 1.5)), wallOpenings: maybe(share(0.001, 0.1)),
  entranceLoss: mm(0, 1), bendLoss: mm(0, 1), coverDensity: maybe(fc.integer({ min: 600, max: 1400 })), inletDrop: mm(-0.1, 0.1),
});

const NO_RARITIES: Rarities = {
  mounding: null, bankTable: null, hollowTable: null, wallOpenings: null, entranceLoss: 0.5, bendLoss: 0, coverDensity: null, inletDrop: 0,
};

export const NO_EXTRAS: Extras = {
  boxes: [], lowSpot: null, bankCover: null, trenchCover: null, openArea: null, segments: 1, heldShut: [], tableInTime: [],
  trenchTable: null, temperature: 20, openFloorShare: 1,
};

/** Writes a plan as a site file. */
export function siteText(plan: Plan, more: Extras = NO_EXTRAS, write: Writer = METRES, rare: Rarities = NO_RARITIES): SiteText {
  const floor = plan.datum;
  const level = (rise: number): string => write.length(floor + rise);
  const boxes = [...plan.boxes, ...more.boxes];
  const several = boxes.length > 1;
  const { lowSpot } = more;
  const boxName = (i: number): string => `box ${i + 1}`;
  const intoHollow = (asked: boolean): object => (lowSpot !== null && asked ? { spillsTo: "lowSpot" } : {});
  // what spills into the hollow does so no lower than its floor
  const edge = (rise: number, asked: boolean): number => (lowSpot !== null && asked ? Math.max(rise, lowSpot.rise) : rise);

  const { bank, trench, emitter } = plan;
  const length = Math.max(bank.length, bank.width);
  const room = bank.depth - bank.base;
  const spots = Math.max(1, Math.floor((length * bank.width) / 1));
  const chambers = room < 0.2 ? [] : bank.chambers.map(({ count, inside, wall, heightShare }) => ({
    count: Math.min(count, Math.max(1, Math.floor(spots / 2))),
    insideDiameter: write.length(Math.min(inside, 0.75)),
    outsideDiameter: write.length(Math.min(inside, 0.75) + 2 * wall),
    height: write.length(Math.floor(1000 * heightShare * room) / 1000),
    ...(rare.wallOpenings === null ? {} : { wallOpenings: { share: rare.wallOpenings } }),
  }));
  const losses = { entranceLoss: rare.entranceLoss, bendLoss: rare.bendLoss };
  const cover = (mm_h: number): object => ({
    conductivity: write.conductivity(mm_h), ...(rare.coverDensity === null ? {} : { submergedDensity: `${rare.coverDensity} kg/m^3` }),
  });
  const bodies = several ? boxes.map((_, i) => boxName(i)) : ["settlingBox"];
  bodies.push("chamberBank");
  const trenchBodies = (name: string): string[] =>
    more.segments === 1 ? [name] : Array.from({ length: more.segments }, (_, i) => `${name} ${i + 1}`);
  const slitPipe = more.openArea === null ? null : trench?.pipe ?? null;
  if (trench !== null) bodies.push(...trenchBodies("overflowTrench"), ...(slitPipe === null ? [] : trenchBodies("trenchPipe")));
  if (lowSpot !== null) bodies.push("lowSpot");

  const json: Record<string, unknown> = {
    name: "made up by a test",
    catchments: [{
      name: "roof", area: write.area(240), runoffCoefficient: 0.9, timeOfConcentration: "8 min", ...(several ? { drainsTo: boxName(0) } : {}),
    }],
    settlingBox: several ? boxes.map((one, i) => ({ name: boxName(i), ...boxText(one) })) : boxText(boxes[0]!),
    chamberBank: {
      floor: level(0), length: write.length(length), width: write.length(bank.width),
      ground: level(edge(bank.depth + bank.overStone, lowSpot?.takesBank ?? false)),
      stone: { depth: write.length(bank.depth), porosity: bank.porosity, base: write.length(Math.min(bank.base, bank.depth)) },
      chambers, coverPorosity: bank.coverPorosity, openFloorShare: more.openFloorShare,
      ...intoHollow(lowSpot?.takesBank ?? false),
      ...(more.bankCover === null ? {} : { cover: cover(more.bankCover) }),
      ...(rare.bankTable === null ? {} : { groundwaterLevel: level(rare.bankTable) }),
    },
    soil: {
      layers: plan.soil.layers.map(({ conductivity }, i) => ({
        ...(i === 0 ? {} : { top: level(1.5 - plan.soil.layers.slice(0, i).reduce((sum, layer) => sum + layer.thickness, 0)) }),
        conductivity: write.conductivity(conductivity),
      })),
      floor: plan.soil.floor, sides: plan.soil.sides, factorOfSafety: plan.soil.factorOfSafety, temperature: `${more.temperature} degC`,
    },
  };
  if (trench !== null) json["overflowTrench"] = trenchText();
  if (trench !== null && emitter !== null) json["emitter"] = emitterText();
  if (lowSpot !== null) json["lowSpot"] = lowSpotText(lowSpot);
  const series = seriesText();
  if (series !== null || plan.groundwater !== null) {
    const path = plan.groundwater?.pathLength ?? null;
    json["groundwater"] = {
      ...(series === null ? { level: level(plan.groundwater!.level) } : { level: series }),
      ...(path === null ? {} : { pathLength: write.length(path) }),
      ...(rare.mounding === null ? {} : { mounding: {
        conductivity: write.conductivity(rare.mounding.conductivity), thickness: write.length(rare.mounding.thickness),
        specificYield: rare.mounding.specificYield,
        at: { x: write.length(3), y: write.length(0) },
      } }),
    };
  }
  return { json, bodies };

  function boxText({ round, side, otherSide, sump, aboveCrest, outlet, crest }: Plan["boxes"][number]): object {
    return {
      ...(round ? { diameter: write.length(side) } : { length: write.length(side), width: write.length(otherSide) }),
      floor: level(crest - sump),
      rim: level(edge(crest + aboveCrest, lowSpot?.takesBox ?? false)),
      outlet: {
        diameter: write.length(outlet.diameter), length: write.length(outlet.length), manningN: outlet.manningN, ...losses,
        invert: level(crest - Math.max(0, outlet.drop)), outletInvert: level(crest + Math.min(0, outlet.drop)),
      },
      ...intoHollow(lowSpot?.takesBox ?? false),
    };
  }

  function trenchText(): object {
    const { pipe } = trench!;
    const inside = pipe === null ? 0 : Math.min(pipe.inside, trench!.depth - pipe.bedding - 2 * pipe.wall);
    return {
      floor: level(trench!.floor), fall: write.length(trench!.fall),
      length: write.length(trench!.length), width: write.length(trench!.width),
      ground: groundText(trench!),
      stone: { depth: write.length(trench!.depth), porosity: trench!.porosity },
      inlet: {
        diameter: write.length(trench!.inletDiameter), length: write.length(trench!.inletLength),
        invert: level(trench!.floor + trench!.inletRise),
        outletInvert: level(trench!.floor + Math.max(0, trench!.inletRise - rare.inletDrop)), ...losses,
      },
      ...(pipe === null ? {} : { pipe: {
        insideDiameter: write.length(inside), outsideDiameter: write.length(inside + 2 * pipe.wall), bedding: write.length(pipe.bedding),
        ...(more.openArea === null ? {} : { openArea: write === METRES ? `${more.openArea * 1e4} cm^2/m` : `${more.openArea / 0.3048} ft^2/ft` }),
      } }),
      segments: more.segments,
      openFloorShare: more.openFloorShare,
      ...intoHollow(lowSpot?.takesTrench ?? false),
      ...(more.trenchCover === null ? {} : { cover: cover(more.trenchCover) }),
      ...(more.trenchTable === null ? {} : { groundwaterLevel: level(more.trenchTable) }),
    };
  }

  /** One level, or two: at the low end it drops by a share of what lies over the stone there, or rises. */
  function groundText({ floor, depth, overStone, fall, groundDrop }: NonNullable<Plan["trench"]>): string | object {
    const asked = lowSpot?.takesTrench ?? false;
    const high = floor + depth + overStone;
    if (groundDrop === 0) return level(edge(high, asked));
    return { high: level(edge(high, asked)), low: level(edge(Math.round(1000 * (high - groundDrop * (overStone + fall))) / 1000, asked)) };
  }

  function emitterText(): object {
    const low = trench!.floor - trench!.fall;
    // over the inside bottom of a slit pipe too
    const crest = low + emitter!.rise + (slitPipe === null ? 0 : slitPipe.bedding + slitPipe.wall);
    return {
      crest: level(crest), diameter: write.length(emitter!.diameter), opensAtHead: write.length(emitter!.opens),
      closesAtHead: write.length(Math.floor(1e5 * emitter!.opens * emitter!.closesShare) / 1e5),
      ...(emitter!.weep === null ? {} : {
        weepHole: { diameter: write.length(emitter!.weep.diameter), elevation: level(low + emitter!.weep.rise),
          ...(emitter!.weep.soakArea === null ? {} : { soakArea: write.area(emitter!.weep.soakArea) }) },
      }),
      ...(emitter!.tailwater === null ? {} : { tailwater: level(crest + emitter!.tailwater) }),
      ...(lowSpot !== null && lowSpot.takesEmitter ? { dischargesTo: "lowSpot" } : {}),
      heldShut: more.heldShut.map(({ from, hours }) => ({ from: `${from} h`, to: `${from + hours} h` })),
    };
  }

  function lowSpotText(spot: LowSpotPlan): object {
    return {
      floor: level(spot.rise), depth: write.length(spot.depth), area: write.area(spot.area), shape: spot.shape,
      lip: level(spot.rise + spot.lip), lipLength: write.length(spot.lipLength), conductivity: write.conductivity(spot.conductivity),
      ...(rare.hollowTable === null ? {} : { groundwaterLevel: level(rare.hollowTable) }),
      ...(spot.grate === null ? {} : { grate: {
        level: level(spot.rise + spot.grate.rise), perimeter: write.length(spot.grate.perimeter), area: write.area(spot.grate.area),
      } }),
    };
  }

  function seriesText(): object[] | null {
    if (more.tableInTime.length === 0) return null;
    let hours = 0;
    return more.tableInTime.map((point) => ({ time: `${(hours += point.hours)} h`, level: level(point.level) }));
  }
}

/** Random flows into random bodies: up to a few litres a second, in bursts of minutes to hours, within the first 15 hours. */
export function flows(bodies: readonly string[]): fc.Arbitrary<Record<string, { time: number[]; flow: number[] }>> {
  const point = fc.record({ minutes: fc.integer({ min: 0, max: 90 }), flow: fc.integer({ min: 0, max: 600 }) });
  const burst = fc.array(point, { minLength: 2, maxLength: 10 })
    .map((points) => {
      let t = 0;
      let stood = 0;
      const time: number[] = [];
      points.forEach(({ minutes }) => {
        stood = minutes === 0 ? stood + 1 : 0;
        t += 60 * (stood > 1 ? 1 : minutes);
        time.push(t);
      });
      return { time, flow: points.map(({ flow }) => flow / 1e5) };
    });
  return fc.tuple(burst, fc.option(fc.tuple(fc.nat({ max: bodies.length - 1 }), burst), { nil: null })).map(([first, second]) => ({
    [bodies[0]!]: first,
    ...(second === null || second[0] === 0 ? {} : { [bodies[second[0]]!]: second[1] }),
  }));
}
