import { durationText, flowText, levelText, volumeText } from "../units/format.ts";
import type { Site } from "../site/site.ts";
import type { Run, RunEvent } from "./run.ts";

/** A run's events and what they mean, in words of the trade and the site's own units, most important first. */
export function runNotes(site: Site, run: Pick<Run, "until" | "peaks" | "firings" | "events" | "drainDown" | "groundwaterIn">): string[] {
  return [
    ...(site.groundwater.mounding === null ? [] : [NO_MOUND]),
    ...spillNotes(site, run.events),
    ...emitterNotes(site, run),
    ...fillNotes(site, run.events),
    ...groundwaterNotes(site, run),
    ...drainNotes(run),
  ];
}

const NO_MOUND = "Mounding of the groundwater under the pit is asked for but not yet part of the simulation: the water table stays where it was given.";

function hour(time: number): string {
  return `hour ${(time / 3600).toFixed(1)}`;
}

function spillNotes({ units, settlingBoxes, lowSpot }: Site, events: readonly RunEvent[]): string[] {
  return events.filter((event) => event.kind === "spills").map(({ time, body, value }) => {
    const isBox = settlingBoxes.some((box) => box.name === body);
    const place = isBox ? "over the rim of the settling box" : body === "chamberBank" ? "out of the ground over the pit"
      : body === "lowSpot" ? "over the lip of the low spot" : "out of the ground over the trench";
    const which = isBox && settlingBoxes.length > 1 ? ` "${body}"` : "";
    const where = lowSpot !== null && body !== "lowSpot" ? "" : ", at the surface";
    return `Water comes ${place}${which} from ${hour(time)} on, ${volumeText(value!, units)} in all${where}.`;
  });
}

function emitterNotes({ units, emitter }: Site, { firings, events, peaks, until }: Pick<Run, "firings" | "events" | "peaks" | "until">): string[] {
  if (emitter === null) return [];
  if (firings.length === 0) {
    const body = Object.keys(peaks).filter((name) => name.startsWith("trenchPipe")).pop()
      ?? Object.keys(peaks).filter((name) => name.startsWith("overflowTrench")).pop()!;
    const short = emitter.crest + emitter.opensAtHead - peaks[body]!.level;
    return [short > 0
      ? `The emitter stays shut: the water at it stops ${levelText(short, units)} below the level that lifts its lid.`
      : "The emitter stays shut although the water at it reaches its opening level: its lid is held or it stands under water."];
  }
  const open = firings.reduce((sum, { start, end }) => sum + (end ?? until) - start, 0);
  const volume = firings.reduce((sum, firing) => sum + firing.volume, 0);
  const peak = Math.max(...firings.map((firing) => firing.peakFlow));
  const times = firings.length === 1 ? "" : `, in ${firings.length} openings (their number depends on the lid more than on the site)`;
  const still = firings[firings.length - 1]!.end === null ? " It is still open when the run ends." : "";
  const first = events.find((event) => event.kind === "emitterOpens")!.time;
  return [`The emitter lets out ${volumeText(volume, units)} in ${durationText(open)}, first at ${hour(first)}, at most ${flowText(peak, units)}${times}.${still}`];
}

function fillNotes({ overflowTrench }: Site, events: readonly RunEvent[]): string[] {
  const notes: string[] = [];
  const over = events.find((event) => event.kind === "runsOver");
  if (over !== undefined) notes.push(`The pit runs over into the trench from ${hour(over.time)} on.`);
  else if (overflowTrench !== null) notes.push("The pit holds all of it: nothing runs over into the trench.");
  const full = events.find((event) => event.kind === "stoneFull" && event.body === "chamberBank");
  if (full !== undefined) notes.push(`The stone of the pit is full to its top at ${hour(full.time)}.`);
  return notes;
}

function groundwaterNotes({ units }: Site, { groundwaterIn }: Pick<Run, "groundwaterIn">): string[] {
  const came = groundwaterIn.bank + groundwaterIn.trench;
  return came > 1e-3 ? [`Groundwater brings ${volumeText(came, units)} into pit and trench during the run.`] : [];
}

function drainNotes({ drainDown: { half, empty }, until }: Pick<Run, "drainDown" | "until">): string[] {
  if (half === null) return [`The pit is not half empty again within the run of ${durationText(until)}.`];
  return empty === null ? [`The pit is not empty again within the run of ${durationText(until)}.`] : [];
}
