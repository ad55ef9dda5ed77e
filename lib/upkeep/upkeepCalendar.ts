import type { Site } from "../site/site.ts";
import { pitFloorTakes } from "../site/takesIn.ts";
import { bulkText, weightText } from "../text/format.ts";
import { lastingText } from "../text/hours.ts";
import { MONTH, type Cleaning } from "./cleaning.ts";
import type { ColdDays } from "./coldDays.ts";
import type { Course } from "./years.ts";

/** Something to be done, when, and where that comes from. */
export interface UpkeepTask {
  readonly what: string;
  readonly when: string;
  /** time from one to the next [s]; null where the season or the weather says it */
  readonly every: number | null;
  readonly words: string;
  readonly source: "computed" | "common practice" | "the site file";
}

/** What to do in which months and years, the most frequent first. Seasons are the place's own. */
export function upkeepCalendar(site: Site, cleaning: Cleaning, cleaned: Course, left: Course, cold: ColdDays): UpkeepTask[] {
  return [
    boxTask(site, cleaning),
    {
      what: "Gutters and their guards", when: "twice a year: when the leaves are down, and in late spring", every: null,
      words: `Take out leaves and grit by hand before they come to the ${site.settlingBoxes.length > 1 ? "boxes" : "box"}.`, source: "common practice",
    },
    ...(site.emitter === null ? [] : [lidTask(cold)]),
    stormTask(site, cleaned),
    yearlyTask(site, cleaned, left),
  ];
}

/**
 * A time between two dates as a calendar has it [s]: `5 months`, `1 year`, `10 days`.
 *
 * @example intervalText(13_149_000); // => "5 months"
 */
export function intervalText(time: number): string {
  const months = time / MONTH;
  if (months < 1.5 && Math.abs(months - 1) > 0.05) return several(Math.round(time / 86_400), "day");
  if (Math.round(months) % 12 === 0) return several(Math.round(months / 12), "year");
  return months < 24 ? several(Math.round(months), "month") : `${(months / 12).toFixed(1)} years`;
}

/** The same after the word every: `every 5 months`, `every year`. */
export function everyText(time: number): string {
  return `every ${intervalText(time).replace(/^1 /, "")}`;
}

/** The first year in which a course's first storm takes twice as long to drain as when new, or does not drain; null where none does. */
export function slowYear({ years }: Course): number | null {
  const fresh = years[0]!.answers[0]!.empty;
  if (fresh === null || fresh === 0) return null;
  return years.find(({ answers: [first] }) => first!.empty === null || first!.empty >= 2 * fresh)?.year ?? null;
}

function boxTask(site: Site, { every, by, first, volume, mass }: Cleaning): UpkeepTask {
  const several = site.settlingBoxes.length > 1;
  const limit = first === null ? "Nothing fills it by these figures; look all the same."
    : `By these figures ${several ? `${plain(first.box)} is the first, at` : "it is at"} its filling limit after ${intervalText(first.after)}.`;
  const late = by === "file" && first !== null && every > first.after ? " That is sooner than it is cleaned: what lies above the limit goes on to the pit." : "";
  const takes = volume > 0 ? ` Each time some ${bulkText(volume, site.units)} of sludge, ${weightText(mass, site.units)} dry.` : "";
  return {
    what: several ? "Settling boxes: take out what has settled" : "Settling box: take out what has settled",
    when: everyText(every), every, words: `${limit}${late}${takes}`, source: by === "file" ? "the site file" : by === "filling" ? "computed" : "common practice",
  };
}

function lidTask({ frost }: ColdDays): UpkeepTask {
  const ice = frost === null || frost.depth === 0 ? "" : " Before frost see that no water stands on it, and clear ice and snow off it in winter.";
  return {
    what: "Emitter: lift the lid by hand", when: frost === null || frost.depth === 0 ? "in spring and autumn" : "in spring, in autumn and before the first frost",
    every: null, words: `It has to move freely; cut turf and roots back from its rim.${ice}`, source: "common practice",
  };
}

function stormTask(site: Site, { years: [fresh] }: Course): UpkeepTask {
  const { storm, empty, rest } = fresh!.answers[0]!;
  const name = plain(storm);
  const empties = rest === "groundwater" ? "back at its groundwater" : rest === "start" ? "back where it stood" : "empty";
  const drains = rest === null ? `New, ${name} leaves no water to speak of in it.`
    : empty === null ? `Even new, it does not drain by itself after ${name}.`
      : `New, it is ${empties} ${lastingText(empty)} after it was last full in ${name}; twice that says ${sealing(site)}, or the water table has risen.`;
  return {
    what: "After a heavy storm: look", when: `the next day, and again${rest === "floor" && empty !== null ? " until it is empty" : ""}`, every: null,
    words: `Dip the pit and write down when. ${drains} `
      + `Water over a rim where such a storm sent none before says that a pipe${site.emitter === null ? "" : " or the lid"} is shut.`,
    source: "common practice",
  };
}

function yearlyTask(site: Site, cleaned: Course, left: Course): UpkeepTask {
  const { storm, empty } = cleaned.years[0]!.answers[0]!;
  const words = empty === null || empty === 0 ? `There is no time to hold it against after ${plain(storm)}; use that of the first good fill.`
    : !pitFloorTakes(site) ? `New, it takes ${lastingText(empty)} after ${plain(storm)}. Its floor takes in nothing as the file has it, so twice that says ${sealing(site)}, or the water table has risen.`
    : slowWords(site.settlingBoxes.length > 1 ? "boxes" : "box", cleaned, left);
  return {
    what: "Time the pit's draining", when: "once a year, after a good fill", every: 12 * MONTH,
    words, source: empty === null || empty === 0 ? "common practice" : "computed",
  };
}

/** When a pit has become so slow that its floor has to be opened up. */
function slowWords(box: string, cleaned: Course, left: Course): string {
  const [slow, alone] = [slowYear(cleaned), slowYear(left)];
  const within = `within ${several(cleaned.years.at(-1)!.year, "year")}`;
  const open = "the floor has to be opened up";
  if (slow === null && alone === null) return `It does not come to take twice as long as new ${within}, with the ${box} cleaned or left alone; if it does all the same, ${open}.`;
  if (slow === null) return `With the ${box} cleaned it does not come to take twice as long as new ${within}; left alone it does in year ${alone!}: then ${open}.`;
  return `It takes twice as long as new in year ${slow} with the ${box} cleaned, ${alone === null ? `not ${within}` : `in year ${alone}`} without: then ${open}.`;
}

/** What makes a pit slower over the years. */
function sealing(site: Site): string {
  return pitFloorTakes(site) ? "the floor is sealing" : "the sides are sealing";
}

/** A name of the file in a sentence, which a reader of the page's own makes safe. */
function plain(name: string): string {
  return `“${name}”`;
}

function several(count: number, word: string): string {
  return `${count} ${word}${count === 1 ? "" : "s"}`;
}
