import type { Load } from "../simulate/bodyInflows.ts";
import type { Run } from "../simulate/run.ts";
import type { SimulateOptions } from "../simulate/runOptions.ts";
import { settledRun } from "../simulate/settledRun.ts";
import { changedSite } from "../site/changedSite.ts";
import type { Site } from "../site/site.ts";
import { floorsTake, sidesTake } from "../site/takesIn.ts";
import { runWords } from "./runWords.ts";

/** One load with the floors as the site has them, and with silt over them. */
export interface SidesOnly {
  /** as the site file has them */
  readonly open: Run;
  /** both floors sealed, `openFloorShare` 0, and no weep hole: its pocket is sealed too */
  readonly sealed: Run;
  /** the two in a sentence */
  readonly note: string;
}

/**
 * Runs a design with its floors as given and once more with the sides alone, for silt seals floors over the years; a pit that
 * only works with a clean floor works for some years.
 *
 * @param load     as `simulate`
 * @param options  as `simulate`
 * @throws InputError  as `simulate`
 * @throws StoppedRun  as `simulate`
 * @source  common practice; British sizing by the block-storm rule counts the sides alone for this reason
 */
export function sidesOnly(site: Site, load: Load, options: SimulateOptions = {}): SidesOnly {
  return besideSealed(settledRun(site, load, options), options);
}

/**
 * The same beside a run already made, of what ran into its works; kept as long as the run.
 *
 * @param options  those the run was made with; its end is its own
 */
export function besideSealed(open: Run, options: SimulateOptions = {}): SidesOnly {
  const known = CHECKS.get(open);
  if (known !== undefined) return known;
  const check = made(open, options);
  CHECKS.set(open, check);
  return check;
}

/** A run never changes, so what was made of it once is kept as long as the run itself. */
const CHECKS = new WeakMap<Run, SidesOnly>();

function made(open: Run, options: SimulateOptions): SidesOnly {
  const { site, inflows, until } = open;
  const [floors, weeps] = [!floorsTake(site), (site.emitter?.weepHole ?? null) !== null];
  const rest = sidesTake(site) ? "only the sides drain" : "nothing drains";
  if (floors && !weeps) return { open, sealed: open, note: `In the file too ${rest}: ${runWords(open)}.` };
  const sealed = settledRun(withSealedFloors(site), inflows, { ...open.options, ...options, until });
  const [before, after] = floors ? ["With the weep hole open", "once silt has sealed its pocket of soil"]
    : ["With the floors open", `once silt has sealed them${weeps ? " and the weep hole's pocket" : ""}`];
  return { open, sealed, note: `${before} ${runWords(open)}; ${after}, and ${rest}, ${runWords(sealed)}.` };
}

/** The works once silt has sealed both floors, and the pocket of soil at the weep hole with them. */
export function withSealedFloors(site: Site): Site {
  return changedSite(site, {
    chamberBank: { ...site.chamberBank, openFloorShare: 0 },
    overflowTrench: site.overflowTrench && { ...site.overflowTrench, openFloorShare: 0 },
    emitter: site.emitter && { ...site.emitter, weepHole: null },
  });
}
