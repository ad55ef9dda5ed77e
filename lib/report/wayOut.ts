import { depthText, intensityText, levelText, volumeText, type UnitSystem } from "../text/format.ts";
import { comesOutBelowLid, exits, firstExit, type Exit, type ExitReached } from "../simulate/exits.ts";
import { filledByGroundwater, lowestWayOut } from "../simulate/freeVolume.ts";
import { breakEvenRain, rainToFill } from "../simulate/rainToFill.ts";
import type { Run } from "../simulate/run.ts";
import { waysOut, type WayOut } from "../simulate/waysOut.ts";
import type { Site } from "../site/site.ts";
import { momentText } from "../text/hours.ts";
import { DRY } from "../figures/bodyViews.ts";
import { plainText } from "../text/plainText.ts";
import { heightText } from "../text/words.ts";

/** An exit as a person calls it: `emitter`, `ground over the trench`, `rim of “east”`. */
export function exitWords({ kind, name }: Pick<Exit, "kind" | "name">): string {
  const own = name === null ? "" : `“${plainText(name, 24)}”`;
  return {
    emitter: "emitter", trenchGround: "ground over the trench", pitGround: "ground over the pit", grate: "grate",
    boxRim: name === null ? "box rim" : `rim of ${own}`, lowSpotLip: "lip of the low spot", watchLevel: own,
  }[kind];
}

/** Where the water comes out first, for a narrow column: `emitter, h 11.8`; `at trench, h 12`; `nowhere`. */
export function firstOutText(reached: readonly ExitReached[] | null): string {
  if (reached === null) return "not known";
  const first = firstExit(reached);
  if (first === null) return "nowhere";
  const { kind, name, time } = first;
  const place = {
    emitter: "emitter", trenchGround: "at trench", pitGround: "at pit", grate: "grate",
    boxRim: name === null ? "box rim" : `“${plainText(name, 9)}”`, lowSpotLip: "low lip", watchLevel: "",
  }[kind];
  return `${place}, ${momentText(time!).replace("hour ", "h ")}`;
}

/** The head of a column of ways out: the run itself, or with a part failing. */
export function failingHead({ settlingBoxes }: Site, when: WayOut["when"]): string {
  return { asRun: "as it ran", lidShut: "lid stuck shut", boxOutletBlocked: settlingBoxes.length === 1 ? "box outlet choked" : "box outlets choked" }[when];
}

/**
 * Where the water comes out first, in a sentence that answers the question as asked; then the other places, from the first
 * on, and what changes where the lid sticks or the box outlet chokes.
 */
export function wayOutSentences(run: Run, ways: readonly WayOut[] = waysOut(run)): { readonly first: string; readonly others: string } {
  const asRun = ways.find(({ when }) => when === "asRun")!.exits!;
  const out = asRun.filter(({ volume, time }) => volume !== null && volume > 0 && time !== null).sort((a, b) => a.time! - b.time!);
  const { units } = run.site;
  const others: string[] = out.slice(1).map((exit) => `Then ${exit.kind === "boxRim" || exit.kind === "lowSpotLip" ? "" : `${wayUp(exit)} `}${outOf(exit)} ${sinceText(exit.time!)}, ${volumeText(exit.volume!, units)}.`);
  for (const { kind, name, time, level } of asRun) {
    if (kind === "watchLevel" && time !== null) others.push(`It stands at the level of “${plainText(name!, 40)}” (${levelText(level, units)}) ${time === 0 ? "from the start" : `at ${momentText(time)}`}.`);
  }
  for (const { when, exits: reached } of ways) {
    if (when !== "asRun") others.push(`With the ${when === "lidShut" ? "emitter's " : ""}${failingHead(run.site, when)} it comes ${placeText(reached)}.`);
  }
  const first = out[0];
  return {
    first: first === undefined ? nowhere(run, asRun) : `The water first comes ${wayUp(first)} ${outOf(first)}, ${sinceText(first.time!)}, ${volumeText(first.volume!, units)} in all.`,
    others: others.join(" "),
  };
}

function placeText(reached: readonly ExitReached[] | null): string {
  if (reached === null) return "out somewhere that this run could not be made to tell";
  const first = firstExit(reached);
  if (first === null) return "out nowhere";
  return `${wayUp(first)} first ${outOf(first)}, ${first.time === 0 ? "from the start" : `at ${momentText(first.time!)}`}`;
}

function sinceText(time: number): string {
  return time === 0 ? "from the start on" : `from ${momentText(time)} on`;
}

function wayUp({ kind }: Exit): "up" | "out" {
  return kind === "grate" || kind === "pitGround" || kind === "trenchGround" ? "up" : "out";
}

function outOf(exit: Exit): string {
  if (exit.kind === "pitGround") return "through the ground at the pit";
  if (exit.kind === "trenchGround") return "through the ground at the trench";
  return `${exit.kind === "boxRim" || exit.kind === "lowSpotLip" ? "over" : "through"} the ${exitWords(exit)}`;
}

function nowhere({ site, peaks }: Run, reached: readonly ExitReached[]): string {
  // a hollow that stays dry is no water below its lip
  const isDry = site.lowSpot === null || peaks["lowSpot"]!.level - site.lowSpot.floor <= DRY;
  const ways = reached.filter(({ kind }) => kind !== "watchLevel" && !(kind === "lowSpotLip" && isDry));
  const nearest = ways.reduce((near, exit) => (exit.short < near.short ? exit : near));
  const { short, atInlet } = nearest;
  return short > 0
    ? `The water comes out nowhere: it stops ${gapText(short, site.units)} below the ${atInlet ? "pipe into the trench" : nearest.kind === "emitter" ? "level that opens the emitter" : exitWords(nearest)}.`
    : `The water comes out nowhere, though it stands ${heightText(-short, site.units)} over the ${nearest.kind === "emitter" ? "level that opens the emitter, which stays shut" : exitWords(nearest)}.`;
}

/** A row of that table: an exit, its level, and a cell for each of the ways out. */
export interface ExitRow {
  readonly words: string;
  readonly level: string;
  readonly cells: readonly string[];
}

/** A table of the exits from the lowest up, and what each of the ways out did there. */
export function exitRows(run: Run, ways: readonly WayOut[]): ExitRow[] {
  return exits(run.site).map((exit, i) => ({
    words: exit.kind === "emitter" ? "emitter opens" : exitWords(exit),
    level: levelText(exit.level, run.site.units),
    cells: ways.map((way) => (way.exits === null ? "not known" : cellText(run.site, way.exits[i]!))),
  }));
}

function cellText({ units }: Site, { time, volume, level, top, short, atInlet, kind, intoLowSpot }: ExitReached): string {
  if (time === null) {
    const held = intoLowSpot && short > level - top + MILLIMETRE;
    if (short > 0) return `${held ? "held back, " : ""}${gapText(short, units)} short${atInlet ? " of the trench" : ""}`;
    return intoLowSpot ? "held back" : "not reached";
  }
  const when = kind === "watchLevel" && time === 0 ? "from the start" : momentText(time).replace("hour ", "h ");
  if (kind === "emitter" && volume === 0) return `shut, ${when}`;
  return volume === null || volume === 0 ? when : `${when}, ${volumeText(volume, units)}`;
}

const MILLIMETRE = 1e-3;

/** How far water stops below an edge that it does not reach: never `0 in`. */
function gapText(gap: number, units: UnitSystem): string {
  const text = heightText(gap, units);
  return text.startsWith("0 ") ? "just" : text;
}

/** How much rain the works take, in one sentence: room, the rain that fills it, and the rain that the soil keeps up with. */
export function capacitySentence(site: Site): string {
  const { level, freeVolume, rain } = rainToFill(site);
  const { units } = site;
  const there = `${levelText(level, units)}, ${fillPlace(site)}`;
  if (filledByGroundwater(site)) {
    const place = comesOutBelowLid(site) ? "where water comes out" : fillPlace(site);
    return `Groundwater alone fills the works to ${levelText(lowestWayOut(site), units)}, ${place}: there is no room for rain.`;
  }
  if (rain === null) return `Up to ${there}, there is room for ${volumeText(freeVolume, units)}.`;
  const even = breakEvenRain(site);
  const soil = even === null ? "and the soil keeps up with no rain, for groundwater comes in"
    : even === 0 ? "and floors and sides take in none of it" : `and full to there the soil keeps up with ${intensityText(even, units)}`;
  const fed = isFedByLowSpot(site) ? ", without what runs in from the low spot," : "";
  const before = comesBefore(site);
  return `Rain of ${depthText(rain, units)}${fed} ${before === null ? "fills" : "would fill"} the works to ${there} (${volumeText(freeVolume, units)} of room)${before === null ? "" : `, but ${before}`}, ${soil}.`;
}

/** What is at the level to which the works fill. */
function fillPlace(site: Site): string {
  if (site.emitter === null) return "where water comes out";
  if (site.emitter.heldShut.length > 0) return "where the emitter opens if its lid is free";
  return comesBefore(site) === null ? "where water comes out" : "where the emitter opens";
}

/** What keeps the works from filling evenly to where the emitter opens; null where nothing does. */
function comesBefore(site: Site): string | null {
  const { emitter, overflowTrench, units } = site;
  if (emitter === null) return null;
  if (comesOutBelowLid(site)) return "it comes out lower down before";
  const { crest } = overflowTrench!.inlet;
  return crest > emitter.opensAt ? `the pit runs over into the trench at ${levelText(crest, units)} only` : null;
}

/** Whether what runs off into the low spot can run on into the works, which fills them with less rain. */
function isFedByLowSpot({ catchments, lowSpot, settlingBoxes, chamberBank, overflowTrench }: Site): boolean {
  if (lowSpot === null || catchments.every(({ drainsTo }) => drainsTo !== "lowSpot")) return false;
  return lowSpot.grate !== null || [...settlingBoxes, chamberBank, overflowTrench].some((body) => body?.spillsTo === "lowSpot");
}
