import { greatestOf } from "../numerics/extremes.ts";
import { networkOf } from "../simulate/assemble.ts";
import { variedSite } from "../simulate/variedSite.ts";
import type { Site } from "../site/site.ts";
import { describe } from "../text/describe.ts";
import { depthText, durationText } from "../text/format.ts";
import { optionReader, type OptionReader } from "../text/optionReader.ts";
import { readDips, type Dips } from "./dips.ts";
import type { Cause, FilledPit } from "./fillModel.ts";
import type { FillTestOptions } from "./fillTest.ts";

/** A fill test as read, in SI. */
export interface ReadFillTest {
  readonly pit: FilledPit;
  readonly dipError: number | null;
  readonly suspects: readonly Cause[];
  readonly notes: readonly string[];
}

/**
 * Reads the options of a fill test and leaves out dips that say nothing.
 *
 * @throws InputError  for options that cannot be read, too few dips, or dips without a fall; all at once
 */
export function readFillTest(site: Site, options: FillTestOptions): ReadFillTest {
  const reader = optionReader("fillTest", options, "The fill test cannot be used:");
  if (reader.has("about") && typeof reader.raw("about") !== "string") reader.problem("about", "a text");
  const { floor, ground } = site.chamberBank;
  const dips = readDips(reader, floor, ground);
  const inflow = reader.has("inflow") ? readInflow(reader.child("inflow"), site) : null;
  const groundwater = reader.has("groundwaterLevel") ? reader.quantity("groundwaterLevel", "length") : null;
  const dipError = reader.has("dipError") ? reader.quantity("dipError", "length", { least: 0.0001, most: 0.1 }) : null;
  const suspects = reader.has("suspects") ? readSuspects(reader) : CAUSES;
  const wet = wetDips(dips, floor, inflow !== null);
  if (dips.level.length > 0 && !dips.level.some(Number.isNaN) && !dips.time.some(Number.isNaN)) checkDips(reader, site, wet, inflow);
  reader.done();
  const left = dips.level.length - wet.level.length;
  return {
    pit: {
      site: groundwater === null ? site : variedSite(site, { groundwaterLevel: groundwater }),
      filling: inflow ?? { by: "firstDip" },
      dips: wet,
    },
    dipError,
    suspects: suspects.filter((cause) => cause !== "floor" || (site.soil.floor && site.soil.sides && site.chamberBank.openFloorShare > 0)),
    notes: left === 0 ? [] : [`${left === 1 ? "One dip does" : `${left} dips do`} not count: before any water was in, or with the pit dry, for nobody knows since when.`],
  };
}

/** The least that leaves a residual to judge by: the fill and the soil take two. */
const FEWEST = 4;

/** A fall that a tape shows beyond doubt [m]; ours. */
const LEAST_FALL = 0.02;

const CAUSES: readonly Cause[] = ["floor", "waterTable", "leak"];

type Hose = Extract<FilledPit["filling"], { readonly by: "hose" }>;

function readInflow(reader: OptionReader, site: Site): Hose {
  const bodies = networkOf(site).bodies.map(({ name }) => name);
  return {
    by: "hose",
    flow: reader.quantity("flow", "flow", { above: 0 }),
    duration: reader.quantity("duration", "time", { above: 0, most: 30 * 86400 }),
    into: reader.word("into", bodies, "chamberBank"),
  };
}

function readSuspects(reader: OptionReader): Cause[] {
  return reader.list("suspects", (value, where): Cause => {
    const found = CAUSES.find((cause) => cause === value);
    if (found === undefined) reader.problem(where.slice(reader.where.length + 1), `one of ${CAUSES.map((cause) => `"${cause}"`).join(", ")}`, describe(value));
    return found ?? "floor";
  });
}

/** Water less deep than this is the floor's own damp [m]. */
const DRY = 0.003;

/** From the first dip with water on to the last before one without; a hose's own time 0 says only where it began. */
function wetDips({ time, level }: Dips, floor: number, byHose: boolean): Dips {
  const isWet = (i: number): boolean => level[i]! > floor + DRY && !(byHose && time[i] === 0);
  const first = level.findIndex((_, i) => isWet(i));
  if (first < 0) return { time: new Float64Array(), level: new Float64Array() };
  const dry = level.findIndex((_, i) => i > first && !isWet(i));
  const end = dry < 0 ? level.length : dry;
  return { time: time.slice(first, end), level: level.slice(first, end) };
}

function checkDips(reader: OptionReader, { units }: Site, { time, level }: Dips, inflow: Hose | null): void {
  if (level.length < FEWEST) {
    reader.problem("dips", `${FEWEST} or more dips with water in the pit, while it falls`, String(level.length));
    return;
  }
  const from = Math.max(0, inflow === null ? 0 : time.findIndex((moment) => moment >= inflow.duration));
  const falling = level.slice(from);
  const fall = greatestOf(falling) - falling.at(-1)!;
  if (inflow !== null && !(time.at(-1)! > inflow.duration)) {
    reader.problem("dips", `dips after the hose was shut (${durationText(inflow.duration)})`, `the last at ${durationText(time.at(-1)!)}`);
  } else if (!(fall >= LEAST_FALL)) {
    const waited = durationText(time.at(-1)! - time[from]!);
    reader.problem("dips", `a fall of ${depthText(LEAST_FALL, units)} or more: wait longer, or look for groundwater at that level`, `${depthText(Math.max(0, fall), units)} in ${waited}`);
  }
}
