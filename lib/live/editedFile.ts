import { quantity } from "../text/quantity.ts";
import { InputError } from "../text/problem.ts";
import { editsOf, type LiveState } from "./liveState.ts";
import { stormRain, totalDepth, type RecordedRain } from "./stormRain.ts";

/** A site file as JSON.parse makes it. */
export type FileData = Readonly<Record<string, unknown>>;

/**
 * A site file with the changes of a live page written into it, in the words of the file: what it says of the rest stays as it
 * was, and `readSite` decides whether the whole can be. The given file is left as it was.
 *
 * - `rain` sets the chosen storm's depth, in place of an intensity or of the place's rainfall; where a pattern needs these, and
 *   for recorded rain, which becomes a curve of its own points, `climateFactor` makes up the difference
 * - `groundwater` sets the level, and moves every level of a series, and of a body that has its own, by as much; `none` takes all away
 * - `soil1` sets a layer's conductivity, in place of its test or texture
 * - `chambers` sets how many there are; the pit keeps its length for each
 * - `lid=shut` holds the lid for a year, `free` for no time
 *
 * @param recorded  the rain of storms that name a file, by their place in the list
 * @throws InputError  for a change that cannot be read, or of something the file does not have
 */
export function editedFile(file: FileData, state: LiveState, recorded: RecordedRain): FileData {
  // what is not changed stays the very thing that was read before
  const edited: Data = { ...file };
  const { storm, edits } = state;
  for (const [key, text] of editsOf(state)) {
    // the rain comes after the duration that its total hangs on
    if (key === "rain") continue;
    const soil = /^soil(\d+)$/.exec(key);
    if (soil !== null) editSoil(edited, Number(soil[1]) - 1, text);
    else if (Object.hasOwn(EDITS, key)) EDITS[key as keyof typeof EDITS](edited, text, storm);
  }
  if (edits.rain !== undefined) editRain(edited, edits.rain, storm, recorded);
  return edited;
}

type Data = Record<string, unknown>;

const EDITS: Readonly<Record<"duration" | "groundwater" | "trench" | "chambers" | "lid", (file: Data, text: string, storm: number) => void>> = Object.freeze({
  duration: (file, text, storm) => {
    quantity(text, "time", "duration");
    stormAt(file, storm)["duration"] = text;
  },
  groundwater: editGroundwater,
  trench: (file, text) => {
    quantity(text, "length", "trench");
    part(file, "overflowTrench")["length"] = text;
  },
  chambers: editChambers,
  lid: (file, text) => {
    if (text !== "shut" && text !== "free") throw refusal("lid", '"shut" or "free"', text);
    part(file, "emitter")["heldShut"] = text === "shut" ? [{ from: "0 h", to: "1 year" }] : [];
  },
});

function editRain(file: Data, rain: string, index: number, recorded: RecordedRain): void {
  const depth = quantity(rain, "length", "rain");
  const storm = stormAt(file, index);
  if ("depth" in storm || "intensity" in storm || ("rainfall" in storm && !NEEDS_RAINFALL.has(storm["pattern"]))) {
    for (const key of ["intensity", "rainfall", "returnPeriod", "extrapolate", "climateFactor"]) delete storm[key];
    storm["depth"] = rain;
    return;
  }
  const fallen = totalDepth(stormRain(storm, recorded[index]));
  if (!(fallen > 0)) throw refusal("rain", "a storm with some rain in it, which can be made more or less", "one without");
  if (typeof storm["file"] === "string") {
    const { name } = storm;
    for (const key of Object.keys(storm)) delete storm[key];
    Object.assign(storm, { name, pattern: "mass-curve", points: pointsOf(recorded[index]!) });
  }
  const before = typeof storm["climateFactor"] === "number" ? storm["climateFactor"] : 1;
  storm["climateFactor"] = Number(((before * depth) / fallen).toPrecision(12));
}

/** Patterns that are made of the place's rainfall at all durations and cannot do with one depth. */
const NEEDS_RAINFALL: ReadonlySet<unknown> = new Set(["alternating-block", "keifer-chu", "euler-2", "nested"]);

/** A record as a mass curve: hours, and millimetres fallen by then. */
function pointsOf({ time, depth }: { readonly time: readonly number[]; readonly depth: readonly number[] }): [string, string][] {
  let fallen = 0;
  return time.map((edge, i) => {
    if (i > 0) fallen += depth[i - 1]!;
    return [`${Number((edge / 3600).toPrecision(12))} h`, `${Number((fallen * 1000).toPrecision(12))} mm`];
  });
}

function editGroundwater(file: Data, text: string): void {
  const places = ([["chamberBank", "groundwaterLevel"], ["groundwater", "level"], ["overflowTrench", "groundwaterLevel"], ["lowSpot", "groundwaterLevel"]] as const)
    .filter(([name, key]) => {
      const owner = file[name] as Data | null | undefined;
      return owner !== null && owner !== undefined && owner[key] !== undefined && owner[key] !== null;
    }).map(([name, key]) => ({ owner: part(file, name), key }));
  if (text === "none") {
    for (const { owner, key } of places) delete owner[key];
    return;
  }
  const level = quantity(text, "length", "groundwater");
  if (places.length === 0) {
    file["groundwater"] = { ...(file["groundwater"] as Data | undefined), level: text };
    return;
  }
  const move = level - firstLevel(places[0]!.owner[places[0]!.key]);
  for (const [i, { owner, key }] of places.entries()) {
    const was = owner[key];
    owner[key] = i === 0 && !Array.isArray(was) ? text : moved(was, move);
  }
}

/** A level, or the first of a series [m]. */
function firstLevel(written: unknown): number {
  const first: unknown = Array.isArray(written) ? (written[0] as Data | undefined)?.["level"] : written;
  return quantity(first, "length", "groundwater");
}

function moved(written: unknown, move: number): unknown {
  if (Array.isArray(written)) return written.map((point: Data) => ({ ...point, level: moved(point["level"], move) }));
  return `${Number((quantity(written, "length", "groundwater") + move).toFixed(4))} m`;
}

function editSoil(file: Data, index: number, text: string): void {
  quantity(text, "speed", `soil${index + 1}`);
  const layers = part(file, "soil")["layers"] as Data[];
  const layer = layers[index];
  if (layer === undefined) throw refusal(`soil${index + 1}`, `a layer from 1 to ${layers.length}`, String(index + 1));
  delete layer["test"];
  delete layer["texture"];
  layer["conductivity"] = text;
}

function editChambers(file: Data, text: string): void {
  const count = Number(text);
  if (!/^\d{1,3}$/.test(text) || count < 1) throw refusal("chambers", "a whole number of chambers from 1 to 999", text);
  const bank = part(file, "chamberBank");
  const kinds = (bank["chambers"] ?? []) as (Data & { count?: number })[];
  if (kinds.length === 0) throw refusal("chambers", "a pit that has some, of which there can be more or fewer", "one of stone alone");
  // one of a kind where the file gives no number, as for its reader
  const countOf = (kind: { readonly count?: number }): number => kind.count ?? 1;
  const before = kinds.reduce((sum, kind) => sum + countOf(kind), 0);
  if (count === before) return;
  const most = kinds.reduce((a, b) => (countOf(b) > countOf(a) ? b : a));
  if (countOf(most) + count - before < 1) throw refusal("chambers", `${before - countOf(most) + 1} or more, as only the most frequent kind is taken away`, text);
  most.count = countOf(most) + count - before;
  const metres = (quantity(bank["length"], "length", "chamberBank.length") * count) / before;
  bank["length"] = /ft|in|'|"/.test(String(bank["length"])) ? `${Number((metres / 0.3048).toFixed(3))} ft` : `${Number(metres.toFixed(3))} m`;
}

/** One of the storms, to be changed: its own copy. */
function stormAt(file: Data, index: number): Data {
  const storms = [...(file["storms"] as Data[])];
  file["storms"] = storms;
  return storms[index] = structuredClone(storms[index]!);
}

/** A part of the file, to be changed: its own copy. */
function part(file: Data, name: string): Data {
  const found = file[name];
  if (typeof found !== "object" || found === null) throw refusal(name, "a site that has one", "a site without");
  const own = structuredClone(found) as Data;
  file[name] = own;
  return own;
}

function refusal(where: string, expected: string, got: string): InputError {
  return new InputError("This cannot be:", [{ where, expected, got }]);
}
