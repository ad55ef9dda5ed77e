import type { SoilProfile } from "../ground/soilProfile.ts";
import type { Pipe, Site } from "../site/site.ts";
import { coverRow, type pipeRow, weirRow } from "../works/passageRows.ts";
import type { StorageCurve } from "../works/storageTable.ts";
import { LAW, OUT, type Body, type Law, type Passage } from "./network.ts";

/** A network while it grows: bodies and passages are added in the water's way. */
export interface Draft {
  readonly site: Site;
  /** soil as the water meets it: conductivities divided by the factor of safety and by the viscosity of its water */
  readonly soil: SoilProfile;
  /** what conductivities outside the layers are divided by */
  readonly viscosity: number;
  addBody(body: Pick<Body, "name" | "kind" | "stoneTop" | "turf" | "groundwater" | "start">, curve: StorageCurve): number;
  addPassage(name: string, law: Law, from: number, to: number, ledger: Passage["ledger"], row: readonly number[]): number;
  /** index of the low spot, OUT if missing */
  readonly lowSpot: number;
}

/** A pipe of the site file as its law wants it. */
export function pipeShape(pipe: Pipe): Parameters<typeof pipeRow>[0] {
  return {
    diameter: pipe.diameter,
    crest: pipe.crest,
    length: pipe.length,
    manningN: pipe.manningN,
    losses: pipe.entranceLoss + pipe.exitLoss + pipe.bendLoss,
  };
}

/** Spill over an edge: off the site by a free weir, or both ways between a body and the low spot. */
export function addSpill(
  draft: Draft, name: string, from: number, ledger: Passage["ledger"], level: number, length: number, to: "lowSpot" | null,
): void {
  if (to === null) draft.addPassage(name, LAW.weir, from, OUT, ledger, weirRow(level, length));
  else draft.addPassage(name, LAW.sharedWeir, from, draft.lowSpot, null, weirRow(level, length));
}

/** Water pressed up through soil and turf, onto the surface or into the low spot. */
export function addCover(
  draft: Draft, name: string, from: number, ledger: Passage["ledger"],
  body: { readonly ground: number; readonly cover: { readonly conductivity: number } | null; readonly spillsTo: "lowSpot" | null },
  planArea: number, thickness: number,
): void {
  const row = coverRow(body.ground, body.cover!.conductivity / draft.viscosity, planArea, thickness);
  const into = body.spillsTo === null ? OUT : draft.lowSpot;
  draft.addPassage(name, LAW.cover, from, into, into === OUT ? ledger : null, row);
}
