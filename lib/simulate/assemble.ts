import { soilProfile } from "../ground/soilProfile.ts";
import { waterViscosityRatio } from "../ground/waterViscosity.ts";
import { seepagePath } from "../site/seepagePath.ts";
import type { Site } from "../site/site.ts";
import { soilDivisor } from "../site/soilDivisor.ts";
import { bankStorage } from "../works/bankStorage.ts";
import { emitterCorners, grateRow, hollowSeepageRow, pipeCorners, pipeRow, weirRow } from "../works/passageRows.ts";
import { hollowStorage, hollowVolume } from "../works/hollowStorage.ts";
import { prismStorage } from "../works/prismStorage.ts";
import { conductanceCorners, seepageRow } from "../works/seepage.ts";
import { storageTable, volumeOf } from "../works/storageTable.ts";
import { addTrench, trenchBodies } from "./assembleTrench.ts";
import { addCover, addSpill, pipeShape, type Draft } from "./draft.ts";
import { LAW, OUT, SOIL, type Body, type Network, type Passage } from "./network.ts";

/** The network of a site. A Site is frozen, so what was made of it once is kept as long as the Site itself. */
export function networkOf(site: Site): Network {
  const known = NETWORKS.get(site);
  if (known !== undefined) return known;
  const network = assemble(site);
  NETWORKS.set(site, network);
  return network;
}

/** Keeps a network that was not assembled but derived from another site's. */
export function keepNetwork(site: Site, network: Network): void {
  NETWORKS.set(site, network);
}

const NETWORKS = new WeakMap<Site, Network>();

/** Builds the network of a site: every body's storage table and every passage's numbers. */
export function assemble(site: Site): Network {
  const bodies: BodyDraft[] = [];
  const passages: Passage[] = [];
  const table: number[] = [];
  const viscosity = waterViscosityRatio(site.soil.temperature);
  const draft: Draft = {
    site,
    viscosity,
    soil: soilProfile(site.soil.layers, soilDivisor(site.soil)),
    addBody(body, curve) {
      const volume = (level: number): number => volumeOf(curve, level);
      return bodies.push({ ...body, storage: storageTable(curve), volume, ownCorners: curve.corners }) - 1;
    },
    addPassage(name, law, from, to, ledger, row) {
      passages.push({ name, law, from, to, ledger, row: table.length });
      for (const each of row) table.push(each);
      return passages.length - 1;
    },
    lowSpot: site.lowSpot === null ? OUT : site.settlingBoxes.length + 1 + trenchBodies(site.overflowTrench),
  };
  const boxes = site.settlingBoxes.map((box) => addBox(draft, box));
  const bank = addBank(draft);
  site.settlingBoxes.forEach((box, i) => {
    draft.addPassage(named("boxOutlet", site, box.name), LAW.pipe, boxes[i]!, bank, null, pipeRow(pipeShape(box.outlet)));
    addSpill(draft, named("boxSpill", site, box.name), boxes[i]!, "boxSpill", box.rim, box.perimeter, box.spillsTo);
  });
  const emitter = site.overflowTrench && addTrench(draft, bank, site.overflowTrench);
  if (site.lowSpot !== null) {
    bodies.push(lowSpotBody(site));
    addLowSpotPassages(draft, bank);
  }
  const numbers = Float64Array.from(table);
  const byLaw = [...passages].sort((a, b) => a.law - b.law);
  return {
    bodies: bodies.map((body, b) => withCorners(body, b, passages, numbers)),
    passages: byLaw,
    table: numbers,
    emitter: emitter && { ...emitter, passage: byLaw.findIndex(({ law }) => law === LAW.emitter) },
  };
}

type BodyDraft = Omit<Body, "corners" | "cornerLevels">;

/** A body with the levels at which its own geometry, or the law of a passage it takes part in, has a corner. */
export function withCorners(body: BodyDraft, b: number, passages: readonly Passage[], table: Float64Array): Body {
  const { floor } = body.storage;
  const levels = [floor, ...body.ownCorners];
  for (const { law, from, to, row } of passages) {
    if (from !== b && to !== b) continue;
    if (law === LAW.seepage) for (const each of conductanceCorners(table, row)) levels.push(each);
    else if (law === LAW.pipe) for (const each of pipeCorners(table, row)) levels.push(each);
    else if (law === LAW.emitter) for (const each of emitterCorners(table, row)) levels.push(each);
    else if (law === LAW.slopedWeir) levels.push(table[row]!, table[row + 1]!);
    else levels.push(table[row]!);
  }
  const cornerLevels = Float64Array.from(new Set(levels.filter((level) => level >= floor))).sort();
  return { ...body, cornerLevels, corners: Float64Array.from(new Set(cornerLevels.subarray(1).map((level) => body.volume(level)))) };
}

function named(passage: string, site: Site, box: string): string {
  return site.settlingBoxes.length > 1 ? `${passage} ${box}` : passage;
}

function addBox(draft: Draft, box: Site["settlingBoxes"][number]): number {
  const { crest } = box.outlet;
  return draft.addBody(
    { name: box.name, kind: "box", stoneTop: null, turf: null, groundwater: null, start: () => crest },
    prismStorage([{ level: box.floor, area: box.planArea }]),
  );
}

function addBank(draft: Draft): number {
  const { chamberBank: bank, soil, groundwater } = draft.site;
  const { stoneTop } = bank;
  const body = draft.addBody(
    {
      name: "chamberBank", kind: "bank", stoneTop, turf: bank.cover && { ground: bank.ground, thickness: bank.ground - stoneTop },
      groundwater: bank.groundwater, start: (G) => Math.max(bank.floor, Math.min(G, stoneTop)),
    },
    bankStorage(bank),
  );
  draft.addPassage("bankSeepage", LAW.seepage, body, SOIL, "bankSeepage", seepageRow({
    highFloor: bank.floor, lowFloor: bank.floor, depth: bank.stone.depth, length: bank.length, width: bank.width,
    highEnd: true, lowEnd: true,
    floorShare: soil.floor ? bank.openFloorShare : 0,
    sides: soil.sides,
    pathLength: seepagePath(groundwater, bank.width),
  }, draft.soil));
  const perimeter = 2 * (bank.length + bank.width);
  if (bank.cover === null) {
    addSpill(draft, "bankSpill", body, "bankSpill", bank.ground, perimeter, bank.spillsTo);
  } else {
    addCover(draft, "bankSpill", body, "bankSpill", bank, bank.length * bank.width, bank.ground - stoneTop);
  }
  return body;
}

function lowSpotBody(site: Site): BodyDraft {
  const hollow = site.lowSpot!;
  return {
    name: "lowSpot",
    kind: "lowSpot",
    storage: hollowStorage(hollow),
    stoneTop: null,
    turf: null,
    volume: (level) => hollowVolume(hollow, level),
    ownCorners: [],
    groundwater: hollow.groundwater,
    start: (G) => Math.min(Math.max(hollow.floor, G), hollow.lip),
  };
}

function addLowSpotPassages(draft: Draft, bank: number): void {
  const hollow = draft.site.lowSpot!;
  const { lowSpot } = draft;
  const path = seepagePath(draft.site.groundwater, Math.sqrt((4 * hollow.area) / Math.PI));
  const conductivity = hollow.conductivity / soilDivisor(draft.site.soil);
  draft.addPassage("lowSpotSeepage", LAW.hollowSeepage, lowSpot, SOIL, "lowSpotSeepage", hollowSeepageRow(hollow, conductivity, path));
  draft.addPassage("lowSpotOverflow", LAW.weir, lowSpot, OUT, "lowSpotOverflow", weirRow(hollow.lip, hollow.lipLength));
  if (hollow.grate !== null) {
    const { level, perimeter, area } = hollow.grate;
    draft.addPassage("grate", LAW.grate, lowSpot, bank, null, grateRow(level, perimeter, area));
  }
}
