import type { FailedPit, RankedCause } from "./failedPit.ts";
import { TELLS_LITTLE } from "./nextMeasurement.ts";
import { CAUSE_WORDS, type Cause } from "./pitCauses.ts";
import { capital } from "../text/words.ts";

/** The diagnosis in two sentences at most: the likeliest cause or the tie, and what to measure next. */
export function failedPitAnswer({ causes, alike, next, explained, two }: FailedPit): string {
  const first = causes[0]!;
  if (causes.length === 1) return "None of these dips would show a fault: dip again after the next rain or fill, while water stands in the pit.";
  const words = CAUSE_WORDS[first.cause];
  if (first.cause === "somethingElse") return `None of the causes asked here explains these dips${two === null ? "" : `; two at once would: ${two.words}`}. ${nextSentence(next)}`.trim();
  if (!explained) return `No single cause explains these dips; nearest is that ${words}${two === null ? "" : `; two at once would: ${two.words}`}. ${nextSentence(next)}`;
  const twins = alike.filter((pair) => pair.causes.includes(first.cause))
    .map((pair) => pair.causes.find((cause) => cause !== first.cause)!);
  if (twins.length > 0) return `${capital(words)}, or ${twins.map((cause) => CAUSE_WORDS[cause]).join(", or ")}: these dips cannot tell. ${nextSentence(next)}`;
  if (first.share >= SURE) return `${capital(words)}: ${hundredths(first.share)}.`;
  return `${first.likely === "likely" ? "Most likely" : "Possibly"} ${words}: ${hundredths(first.share)}. ${nextSentence(next)}`;
}

/** Share from which nothing more needs to be measured. */
const SURE = 0.95;

/** A share as people say it: `83 in 100`, `less than 1 in 100`. */
export function hundredths(share: number): string {
  if (share < 0.005) return "less than 1 in 100";
  return share >= 0.995 ? "more than 99 in 100" : `${Math.round(100 * share)} in 100`;
}

/** What to do about a cause; common practice. */
export const REMEDIES: Readonly<Record<Cause, string>> = Object.freeze({
  asDesigned: "Nothing to mend. If the works are still too slow or fire too often, they were designed for less than they get: run the storm you had, and compare.",
  soilSlower: "Test the soil again beside the pit, at its depth. What helps is more wall and more room: a longer trench, a second pit, or less roof; a deeper pit only if the soil there was tested and the water table is far below.",
  floorSealed: "Empty the box, flush and vacuum the chambers from above, and see what comes. A sealed floor seldom comes back without digging out; from now on count on the sides alone, and keep silt out: a larger sump, cleaned in time.",
  waterTable: "Do not dig deeper. Watch the level in a standpipe through a wet season, then lead the water to a lower outlet by gravity or raise the works; only the part of a pit above the groundwater has room for rain.",
  leak: "Find out where the water goes before it does harm: look for wet places downhill, at foundations and along pipe trenches. Stop a pipe trench with a collar of clay or concrete; a pipe, with a new joint.",
  lidShut: "Free the lid of roots, turf and ice, clean its seat, and try it by hand every spring and autumn. Until then water comes up elsewhere.",
  outletBlocked: "Clear the outlet from above and empty the sump; put a screen or a hood before it, and a leaf guard on the gutters.",
  holesClogged: "Flush and vacuum the chambers from their openings, from above. If the holes silt up again, silt passes the box: a larger sump, cleaned in time. Fabric that is blinded has to be dug out.",
  inletBlocked: "Rod or flush the pipe between pit and trench from above, and see what comes: leaves and silt have passed the box. A screen at its mouth keeps the rest out.",
  levelsOff: "Take the levels of that pipe and of the emitter's crest again, from the mark, and write them into the file as they are: where they are wrong, relay them, for nothing else moves the level at which the pit runs over.",
  stoneDirty: "Look at the stone through a chamber's wall, or dig up a bucket of it. Stone that was not washed, or has no fabric round it, keeps its fines: count on the room that is left, or change it.",
  roofMore: "Walk round in rain and see which gutters, drains and paving run in. Lead away what was not drawn, or give the file the area that is, and size the works for that.",
  trenchLeak: "Look for wet places downhill of the trench and along its pipe. What soaks away there unasked may run to a neighbour or a cellar: stop it with a collar of clay or concrete.",
  somethingElse: "None of the causes asked here shows such dips. Read once more, mark and clock first; look for water from elsewhere, or two things at once; and open up where it is safe before anything is dug.",
});

/** What has to be heeded while measuring and mending; common practice. */
export const MEASURING_CAUTIONS: readonly string[] = Object.freeze([
  "Measure from above, with a tape or a rod. Nobody gets into a box, a chamber or a pit, or puts the head in: gas gathers there, air may lack oxygen, and who goes in to help dies too.",
  "A hole beside the pit is made with an auger. Wet ground beside a full pit caves in without warning: nobody stands in an unshored hole, at any depth.",
  "Call before you dig: pipes and cables lie beside the works as well.",
  "Cover or fence every opening before you leave it, and wash: water from roofs and gutters is not clean.",
  "Shares hold among these causes, one at a time, in soil from 0.7 to 3 times the design's and works as drawn. They are no proof; open up, or measure once more, before you dig for a cause.",
]);

/** Everything about a ranked cause that fits a line of a table. */
export function likelyText({ likely, share }: RankedCause): string {
  return `${likely}, ${hundredths(share)}`;
}

function nextSentence(next: FailedPit["next"]): string {
  const first = next[0];
  if (first === undefined) return "";
  return first.separation < TELLS_LITTLE ? "No one measurement of these would tell much." : `Next, ${first.words}.`;
}
