import { depthText, levelText, volumeText } from "../text/format.ts";
import { lastingText, momentText } from "../text/hours.ts";
import { isPressedShut, lidSpare, stopsAtInlet } from "./exits.ts";
import { tableReaches } from "./freeVolume.ts";
import { flutterWords, toldFirings } from "./firings.ts";
import { oneLevel } from "./oneLevel.ts";
import { bodiesOf, type Run, type RunEvent } from "./run.ts";
import { groundAtMiddle, groundOfSegment, isLevelGround, lowerEnd } from "../site/trenchGround.ts";
import { heightText } from "../text/words.ts";

/** A run's events and what they mean, in words of the trade and the site's own units, most important first. */
export function runNotes(run: Omit<Run, "notes">): string[] {
  return [
    ...surfaceNotes(run), ...emitterNotes(run), ...hollowNotes(run), ...fillNotes(run), ...oneLevelNotes(run),
    ...groundwaterNotes(run), ...drainNotes(run),
  ];
}

type Told = Omit<Run, "notes">;

/** From when something holds that has a beginning: `from hour 1.2 on`, or from the start of the run. */
function since(time: number): string {
  return time === 0 ? "from the start on" : `from ${momentText(time)} on`;
}

function of(events: readonly RunEvent[], kind: string): (RunEvent & { readonly value: number })[] {
  return events.flatMap((event) => (event.kind === kind ? [{ ...event, value: event.value ?? 0 }] : []));
}

/** A body as a person calls it. */
function nameOf(run: Told, body: string): string {
  const { kind } = run.bodies.find(({ name }) => name === body)!;
  const alike = bodiesOf(run, kind);
  if (kind === "box") return alike.length === 1 ? "the settling box" : `box “${body}”`;
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
      `Water comes ${edgeOf(run, body)} ${since(time)}, ${volumeText(value, units)} in all, ${into(body)}.`),
    ...of(events, "grateGives").map(({ time, value }) => `Water comes up through the grate ${since(time)}, ${volumeText(value, units)} in all.`),
    ...of(events, "uplift").map(({ time, body, value }) =>
      `Pressure lifts the turf over ${nameOf(run, body)} ${since(time)}: water stands more than ${heightText(value, units)} over the ground, and the weight of the cover no longer holds it down.`),
    ...pressedNotes(run),
    ...of(events, "reaches").map(({ time, body, value }) => {
      const names = site.watchLevels.filter(({ level }) => level === value).map(({ name }) => name).join(", ");
      return time === 0 ? `Water in ${nameOf(run, body)} stands at the level of "${names}" (${levelText(value, units)}) or over it from the start on.`
        : `Water in ${nameOf(run, body)} reaches the level of "${names}" (${levelText(value, units)}) at ${momentText(time)}.`;
    }),
  ];
}

/** Water that stands over the lower end of a trench's ground, and comes up nowhere: what lies over the trench holds it. */
function pressedNotes({ site, peaks, bodies, events }: Told): string[] {
  const { overflowTrench: trench, units } = site;
  if (trench === null || trench.cover === null || isLevelGround(trench.ground)) return [];
  const pressed = bodies.filter(({ kind }) => kind === "trench").flatMap(({ name }, i) => {
    const ground = groundOfSegment(trench, i);
    const { level, time } = peaks[name]!;
    const over = level - lowerEnd(ground);
    const lifted = of(events, "uplift").some(({ body }) => body === name);
    return over > 1e-3 && !of(events, "spills").some(({ body }) => body === name) ? [{ over, time, lifted, middle: groundAtMiddle(ground) }] : [];
  });
  if (pressed.length === 0) return [];
  const { over, time, lifted, middle } = pressed.reduce((most, each) => (each.over > most.over ? each : most));
  // a cover that lets nothing through has no wet patch
  const seeps = trench.cover.conductivity > 0 ? " What seeps up through them is reckoned at mid length, "
    + `where the ground lies at ${levelText(middle, units)}: expect a wet patch at the lower end.` : "";
  return [
    `Water in the trench presses up to ${heightText(over, units)} over the lower end of its ground, most at ${momentText(time)}; soil and turf ${lifted ? "are taken to hold it, which they no longer do where it lifts them" : "are taken to hold it"}.${seeps}`,
  ];
}

/** How much and how long stands in every table: here what those do not say. */
function emitterNotes(run: Told): string[] {
  const { site, firings, events } = run;
  const { emitter, units } = site;
  if (emitter === null) return [];
  const held = of(events, "lidHeld").map(({ time, value }) =>
    `The emitter's lid is held shut while water could open it, ${since(time)}: it stands up to ${heightText(value, units)} over the sill.`);
  const open = of(events, "standsOpen").map(() => "Groundwater holds the emitter's lid open when the run begins: what it lets out is the ground's water before it is rain.");
  const flutters = flutterWords(toldFirings(run));
  const firing = [...held, ...open, ...(open.length > 0 ? [] : firingNotes(run)), ...(flutters === null ? [] : [flutters])];
  if (firings.length > 0) return firing;
  if (held.length > 0) return held;
  const short = lidSpare(run);
  if (stopsAtInlet(run, emitter.opensAt)) return [`The emitter stays shut: the water of the pit stops ${heightText(short, units)} below the pipe into the trench.`];
  if (isPressedShut(run)) {
    return [`The emitter stays shut although the trench's water rises over the level that lifts its lid in the open: the low spot it discharges into stands over it and presses it shut${
      short > 0 ? `, ${heightText(short, units)} short of lifting it at the nearest` : ""}.`];
  }
  return [`The emitter stays shut: the water of pit and trench stops ${heightText(short, units)} below the level that lifts its lid.`];
}

/** When the lid opens, and closes for good; none where it stays shut. */
function firingNotes({ site, firings, openTime }: Told): string[] {
  if (firings.length === 0) return [];
  const [first, last] = [firings[0]!, firings.at(-1)!];
  if (tableReaches(site, site.emitter!.opensAt, first.start)) {
    return [`Groundwater alone lifts the emitter's lid, rain or not: in this run it stands open for ${lastingText(openTime)} in all.`];
  }
  const closes = last.end === null ? "and is still open when the run ends"
    : momentText(last.end) === momentText(first.start) ? `and closes for good ${lastingText(last.end - first.start)} later` : `and closes for good at ${momentText(last.end)}`;
  return [first.start > 0 ? `The emitter opens first at ${momentText(first.start)} ${closes}.`
    : `The emitter stands open from the start ${closes}: groundwater runs out of it, whether it rains or not.`];
}

function hollowNotes(run: Told): string[] {
  const { site, events } = run;
  const { units } = site;
  return [
    ...of(events, "ponds").map(({ time, value }) => `Water stands in the low spot ${since(time)}, up to ${heightText(value, units)} deep.`),
    ...of(events, "grateTakes").map(({ time, value }) => `The low spot runs down the grate into the pit ${since(time)}, ${volumeText(value, units)} in all.`),
    ...of(events, "floods").map(({ time, body, value }) =>
      `The low spot's water stands over ${nameOf(run, body)} and runs into it ${since(time)}, ${volumeText(value, units)} in all.`),
    ...of(events, "drowns").map(({ time, value }) =>
      `The emitter stands in its own puddle ${since(time)}, up to ${heightText(value, units)} over its crest: its lid has to open against that.`),
  ];
}

function fillNotes(run: Told): string[] {
  const { site, events } = run;
  const notes: string[] = [];
  const over = of(events, "runsOver")[0];
  if (over !== undefined) notes.push(`The pit runs over into the trench ${since(over.time)}.`);
  else if (site.overflowTrench !== null) notes.push("Nothing runs over into the trench.");
  for (const { time, body } of of(events, "backsUp")) notes.push(`Water stands back from the pit into the outlet of ${nameOf(run, body)} ${since(time)}.`);
  const full = of(events, "stoneFull").find(({ body }) => body === "chamberBank");
  if (full !== undefined) notes.push(`The stone of the pit is full to its top ${full.time === 0 ? "from the start" : `at ${momentText(full.time)}`}.`);
  const weeps = of(events, "weeps")[0];
  if (weeps !== undefined) notes.push(`The weep hole lets ${volumeText(weeps.value, site.units)} into the soil ${since(weeps.time)}.`);
  return notes;
}

function oneLevelNotes(run: Told): string[] {
  const found = oneLevel(run);
  if (found === null) return [];
  const { units } = run.site;
  const notes: string[] = [];
  for (const [state, { difference, matters, liftsBox }] of [["their openings clean", found.clean], ["half of their openings clogged", found.clogged]] as const) {
    if (!matters && !liftsBox) continue;
    const lifts = liftsBox ? ", which lifts the box to its rim" : "";
    notes.push(`The chambers do not share one level at ${momentText(found.time)}: with ${state} the first stands ${depthText(difference, units)} over the last${lifts}.`);
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
      `Groundwater comes into ${nameOf(run, body)} ${since(time)}, ${volumeText(value, units)} during the run.`),
    ...of(events, "moundLimit").map(({ time, value }) =>
      `The mound under the pit has risen ${depthText(value, units)} at ${momentText(time)}, to the pit's floor or half of the aquifer's thickness: from there on its rise is no longer a number.`),
  ];
}

function drainNotes({ drainDown: { half, empty }, until }: Told): string[] {
  if (half === null) return [`The pit still holds more than half of its most at ${momentText(until)}, where the run ends.`];
  return empty === null ? [`The pit still holds water of the storm at ${momentText(until)}, where the run ends.`] : [];
}
