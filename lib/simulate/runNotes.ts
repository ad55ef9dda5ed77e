import { depthText, levelText, volumeText } from "../units/format.ts";
import { lidSpare } from "./exits.ts";
import { oneLevel } from "./oneLevel.ts";
import { bodiesOf, type Run, type RunEvent } from "./run.ts";
import { heightText } from "../units/words.ts";

/** A run's events and what they mean, in words of the trade and the site's own units, most important first. */
export function runNotes(run: Omit<Run, "notes">): string[] {
  return [
    ...surfaceNotes(run), ...emitterNotes(run), ...hollowNotes(run), ...fillNotes(run), ...oneLevelNotes(run),
    ...groundwaterNotes(run), ...drainNotes(run),
  ];
}

type Told = Omit<Run, "notes">;

/** A moment as closely as the figures' `momentText` writes it. */
function hour(time: number): string {
  return `hour ${(time / 3600).toFixed(time < 48 * 3600 ? 1 : 0)}`;
}

function of(events: readonly RunEvent[], kind: string): (RunEvent & { readonly value: number })[] {
  return events.flatMap((event) => (event.kind === kind ? [{ ...event, value: event.value ?? 0 }] : []));
}

/** A body as a person calls it. */
function nameOf(run: Told, body: string): string {
  const { kind } = run.bodies.find(({ name }) => name === body)!;
  const alike = bodiesOf(run, kind);
  if (kind === "box") return alike.length === 1 ? "the settling box" : `box "${body}"`;
  const part = { bank: "the pit", trench: "the trench", pipe: "the trench's pipe", lowSpot: "the low spot" }[kind];
  return alike.length === 1 ? part : `segment ${alike.indexOf(body) + 1} of ${part}`;
}

/** The edge that a body's water comes over. */
function edgeOf(run: Told, body: string): string {
  const { kind } = run.bodies.find(({ name }) => name === body)!;
  if (kind === "lowSpot") return "out over the lip of the low spot";
  if (kind === "box") return `out over the rim of ${nameOf(run, body)}`;
  return `up through the ground at ${nameOf(run, body)}`;
}

function surfaceNotes(run: Told): string[] {
  const { site, events } = run;
  const { units } = site;
  const into = (body: string): string => {
    const works = site.settlingBoxes.find((box) => box.name === body) ?? (body === "chamberBank" ? site.chamberBank : site.overflowTrench);
    return body !== "lowSpot" && works !== null && works.spillsTo !== null ? "into the low spot" : body === "lowSpot" ? "off the site" : "at the surface";
  };
  return [
    ...of(events, "spills").map(({ time, body, value }) =>
      `Water comes ${edgeOf(run, body)} from ${hour(time)} on, ${volumeText(value, units)} in all, ${into(body)}.`),
    ...of(events, "grateGives").map(({ time, value }) => `Water comes up through the grate from ${hour(time)} on, ${volumeText(value, units)} in all.`),
    ...of(events, "uplift").map(({ time, body, value }) =>
      `Pressure lifts the turf over ${nameOf(run, body)} from ${hour(time)} on: water stands more than ${heightText(value, units)} over the ground, and the weight of the cover no longer holds it down.`),
    ...of(events, "reaches").map(({ time, body, value }) => {
      const names = site.watchLevels.filter(({ level }) => level === value).map(({ name }) => name).join(", ");
      return `Water in ${nameOf(run, body)} reaches the level of "${names}" (${levelText(value, units)}) at ${hour(time)}.`;
    }),
  ];
}

/** How much and how long stands in every table: here what those do not say. */
function emitterNotes(run: Told): string[] {
  const { site, firings, events } = run;
  const { emitter, units } = site;
  if (emitter === null) return [];
  const held = of(events, "lidHeld").map(({ time, value }) =>
    `The emitter's lid is held shut while water could open it, from ${hour(time)} on: it stands up to ${heightText(value, units)} over the sill.`);
  const open = of(events, "standsOpen").map(() => "Groundwater holds the emitter's lid open when the run begins: what it lets out is the ground's water before it is rain.");
  if (open.length > 0) return [...held, ...open];
  if (firings.length > 0) {
    const [first, last] = [firings[0]!, firings.at(-1)!];
    const closes = last.end === null ? "and is still open when the run ends" : `and closes for good at ${hour(last.end)}`;
    if (site.overflowTrench!.groundwater?.level.some((level) => level >= emitter.opensAt) === true) {
      const times = firings.length === 1 ? "once" : `${firings.length} times`;
      return [...held, `Groundwater alone lifts the emitter's lid, rain or not: it opens ${times} in the run${first.start === 0 ? ", from the start on" : `, first at ${hour(first.start)}`}.`];
    }
    return [...held, first.start > 0 ? `The emitter opens first at ${hour(first.start)} ${closes}.`
      : `The emitter stands open from the start ${closes}: groundwater runs out of it, whether it rains or not.`];
  }
  if (held.length > 0) return held;
  const short = lidSpare(run);
  return [short > 0
    ? `The emitter stays shut: the water of pit and trench stops ${heightText(short, units)} below the level that lifts its lid.`
    : "The emitter stays shut although water rises over its crest: the low spot it discharges into stands as high."];
}

function hollowNotes(run: Told): string[] {
  const { site, events } = run;
  const { units } = site;
  return [
    ...of(events, "ponds").map(({ time, value }) => `Water stands in the low spot from ${hour(time)} on, up to ${heightText(value, units)} deep.`),
    ...of(events, "grateTakes").map(({ time, value }) => `The low spot runs down the grate into the pit from ${hour(time)} on, ${volumeText(value, units)} in all.`),
    ...of(events, "floods").map(({ time, body, value }) =>
      `The low spot's water stands over ${nameOf(run, body)} and runs into it from ${hour(time)} on, ${volumeText(value, units)} in all.`),
    ...of(events, "drowns").map(({ time, value }) =>
      `The emitter stands in its own puddle from ${hour(time)} on, up to ${heightText(value, units)} over its crest: its lid has to open against that.`),
  ];
}

function fillNotes(run: Told): string[] {
  const { site, events } = run;
  const notes: string[] = [];
  const over = of(events, "runsOver")[0];
  if (over !== undefined) notes.push(`The pit runs over into the trench from ${hour(over.time)} on.`);
  else if (site.overflowTrench !== null) notes.push("The pit holds all of it: nothing runs over into the trench.");
  for (const { time, body } of of(events, "backsUp")) notes.push(`Water stands back from the pit into the outlet of ${nameOf(run, body)} from ${hour(time)} on.`);
  const full = of(events, "stoneFull").find(({ body }) => body === "chamberBank");
  if (full !== undefined) notes.push(`The stone of the pit is full to its top at ${hour(full.time)}.`);
  const weeps = of(events, "weeps")[0];
  if (weeps !== undefined) notes.push(`The weep hole lets ${volumeText(weeps.value, site.units)} into the soil from ${hour(weeps.time)} on.`);
  return notes;
}

function oneLevelNotes(run: Told): string[] {
  const found = oneLevel(run);
  if (found === null) return [];
  const { units } = run.site;
  const notes: string[] = [];
  for (const [state, { difference, matters, liftsBox }] of [["clean", found.clean], ["half of them clogged", found.clogged]] as const) {
    if (!matters && !liftsBox) continue;
    const lifts = liftsBox ? ", which lifts the box to its rim" : "";
    notes.push(`The chambers do not share one level at ${hour(found.time)}: with their openings ${state} the first stands ${depthText(difference, units)} over the last${lifts}.`);
  }
  return notes;
}

function groundwaterNotes(run: Told): string[] {
  const { site, events, settled } = run;
  const { units } = site;
  return [
    ...of(events, "stillMoves").map(({ body, value }) =>
      `After ${settled / 3600} dry hours the water in ${nameOf(run, body)} still ${value > 0 ? "rises" : "falls"} by ${depthText(3600 * Math.abs(value), units)} an hour when the run begins.`),
    ...of(events, "groundwaterIn").map(({ time, body, value }) =>
      `Groundwater comes into ${nameOf(run, body)} from ${hour(time)} on, ${volumeText(value, units)} during the run.`),
    ...of(events, "moundLimit").map(({ time, value }) =>
      `The mound under the pit has risen ${depthText(value, units)} at ${hour(time)}, to the pit's floor or half of the aquifer's thickness: from there on its rise is no longer a number.`),
  ];
}

function drainNotes({ drainDown: { half, empty }, until }: Told): string[] {
  if (half === null) return [`The pit still holds more than half of its most at ${hour(until)}, where the run ends.`];
  return empty === null ? [`The pit still holds water of the storm at ${hour(until)}, where the run ends.`] : [];
}
