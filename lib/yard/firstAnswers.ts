import { neverEmpty } from "../report/drainWords.ts";
import { designStormAt } from "../rain/storms/designStorm.ts";
import { settledRun } from "../simulate/settledRun.ts";
import type { Run } from "../simulate/run.ts";
import type { SimulateOptions } from "../simulate/runOptions.ts";
import { regionTaken } from "../site/region.ts";
import { setbackRules } from "../plan/setbackRules.ts";
import type { Site } from "../site/site.ts";
import { chamberCount } from "../study/resized.ts";
import { takeOff } from "../plan/takeOff.ts";
import { bulkText, depthText, durationText, intensityText, lengthText, roughVolumeText, type UnitSystem } from "../text/format.ts";
import { quantity } from "../text/quantity.ts";
import { capital, listed } from "../text/words.ts";
import { readSite } from "../site/readSite.ts";
import { verdictOf } from "./holeVerdict.ts";
import { OVER_WATER } from "./feasibleLevels.ts";
import { mendedYard } from "./mendedYard.ts";
import { inSoil, neededIn, overWater, proposeWorks, wetTrench, type Proposal, type WorksProposed } from "./proposeWorks.ts";
import { nearText, ruleText } from "./words.ts";
import { BAD, NORMAL, yardFile } from "./yardFile.ts";

/** One of the six answers of a first call, short enough that all six stand on the screen of a phone. */
export interface FirstAnswer {
  readonly question: string;
  /** the answer as far as it is known */
  readonly answer: string;
  /** how far it may lie from that, and what that hangs on; "" only where the levels do not fit */
  readonly band: string;
  /** what stands behind it, a sentence or more each */
  readonly more: readonly string[];
}

/** What one further fact would sharpen. */
export interface Sharpener {
  /** of the question that asks for it */
  readonly key: string;
  readonly fact: string;
  /** what it would sharpen */
  readonly words: string;
  /** how it is found out; "" where the question says so */
  readonly how: string;
  /** how many chambers the answer swings over for lack of it; 0 where it does not count in chambers */
  readonly swing: number;
}

export interface FirstAnswers {
  /** six, in the order of a call */
  readonly answers: readonly FirstAnswer[];
  /** what is not known yet, what would sharpen most first */
  readonly sharpeners: readonly Sharpener[];
  /** runs of the proposed works in both storms, in the soil as taken; null where no works are proposed */
  readonly runs: { readonly normal: Run; readonly bad: Run } | null;
}

/** The six questions, in the order of a call. */
export const firstQuestions: readonly string[] = Object.freeze([
  "Can it work here?",
  "Roughly how large?",
  "How much digging?",
  "What does it do in a normal and in a bad storm?",
  "What must be tested next?",
  "What should nobody promise yet?",
]);

/**
 * The six answers of the first call, each with its band: the least and the most that the soil may be, groundwater just under the pit
 * where nobody has looked for it. Where the levels do not fit, size, digging and storms are those of the yard after the first remedy.
 */
export async function firstAnswers(proposal: Proposal): Promise<FirstAnswers> {
  if (proposal.kind === "impossible") {
    const { missed, yard } = proposal;
    const near = nearHouse(yard)?.tooNear ?? null;
    const mended = mendedYard(yard, missed);
    const then = mended === null ? null : await proposeWorks(mended);
    const works = then?.kind === "works" ? then : null;
    const sharpeners = await sharpenersOf(yard, works);
    const next = whatNext(sharpeners);
    const steep = steepWords(yard);
    const once = ({ answer, ...rest }: Words): Words => ({ ...rest, answer: `Once that is done: ${answer}` });
    const unsaid: Words = { answer: "Not to be said before it fits.", band: "", more: [] };
    return {
      answers: asked([
        {
          answer: missed.cure === "" ? "Not as told, and nothing that can be moved here would mend it." : `Not as told: ${missed.cure}.`,
          band: `${missed.rules.includes(OVER_WATER) ? capital(missed.lacks) : `What is lacking: ${missed.lacks}`}.${near === null ? "" : ` Also too near the house: ${near}.`}`,
          more: [missed.words],
        },
        works === null ? unsaid : once(howLarge(works)),
        works === null ? unsaid : once(howMuchDigging(works)),
        works === null ? unsaid : once(inStorms(works, stormsOf(works))),
        next,
        { answer: "That it works: as it was told it does not fit.", band: "Nothing is promised before it is measured again.", more: [...(steep === null ? [] : [steep]), ...yard.assumed] },
      ]),
      sharpeners,
      runs: null,
    };
  }
  const storms = stormsOf(proposal);
  const sharpeners = await sharpenersOf(proposal.yard, proposal);
  const next = whatNext(sharpeners);
  return {
    answers: asked([
      canItWork(proposal, storms),
      howLarge(proposal),
      howMuchDigging(proposal),
      inStorms(proposal, storms),
      next,
      noPromise(proposal, storms),
    ]),
    sharpeners,
    runs: storms.middle,
  };
}

type Words = Omit<FirstAnswer, "question">;

function asked(words: readonly Words[]): FirstAnswer[] {
  return words.map((each, i) => ({ question: firstQuestions[i]!, ...each }));
}

/** @param name  of one of the file's own storms of a pattern */
export function runOf(site: Site, name: string, options: SimulateOptions = {}): Run {
  const storm = site.storms.find((each) => each.name === name)!;
  return settledRun(site, designStormAt("designStorm", storm.options), options);
}

/** Runs of both storms in the soil as taken, in the least that it may be and in the most. */
interface Storms {
  readonly middle: BothStorms;
  readonly low: BothStorms;
  readonly high: BothStorms;
}

interface BothStorms {
  readonly normal: Run;
  readonly bad: Run;
}

function stormsOf(proposal: WorksProposed): Storms {
  const both = (site: Site): BothStorms => ({ normal: runOf(site, NORMAL), bad: runOf(site, BAD) });
  return { middle: both(proposal.site), low: both(doubtful(proposal, "low")), high: both(doubtful(proposal, "high")) };
}

/** The proposed works in the least or the most that the soil may be; in the least also over groundwater where nobody has looked. */
function doubtful({ site, yard }: WorksProposed, which: "low" | "high"): Site {
  const changed = inSoil(site, yard.soil[which]);
  return which === "low" && !yard.isGroundwaterKnown ? overWater(changed) : changed;
}

function canItWork({ yard, levels, needed, mostChambers, notReached, chambers, site }: WorksProposed, { middle }: Storms): Words {
  const { units, soil } = yard;
  const near = nearHouse(yard);
  const tooNear = near?.tooNear ?? null;
  const buts = [
    ...(tooNear === null ? [] : [`too near the house: ${tooNear}`]),
    ...(middle.normal.drainDown.empty === null && !neverEmpty(middle.normal)
      ? ["it is not empty again in three days: the next storm finds water in it"] : []),
    ...levels.missed.slice(0, 1).map(({ lacks, cure }) => `${lacks}${cure === "" ? "" : `: ${cure}`}`),
  ];
  const isOne = chambers === 1;
  const answer =
    needed.middle === null
      ? `Only in part: ${chambersText(chambers)}, ${mostWords(yard)}, ${isOne ? "does" : "do"} not ${listed(notReached, "or")}${buts.map((but) => `; and ${but}`).join("")}.`
      : buts.length > 0
        ? `Yes, but ${buts.join("; and ")}.`
        : site.emitter === null
          ? "Yes, as far as told: what is asked for fits, with no lid to let water out."
          : "Yes, as far as told: the water falls to the lid by itself, and what is asked for fits.";
  const [end, count] = needed.middle === null ? (["high", needed.high] as const) : (["low", needed.low] as const);
  const ground = `${intensityText(soil[end], units)}${yard.isGroundwaterKnown ? "" : end === "low" ? " with groundwater near" : " with groundwater far below"}`;
  const whether =
    count !== null
      ? `${chambersText(count)} ${count === 1 ? "does" : "do"} it`
      : `not even ${chambersText(mostChambers)} ${mostChambers === 1 ? "does" : "do"} it`;
  const wet = wetTrench(yard, levels.levels);
  return {
    answer,
    band: `${end === "low" ? "At worst" : "At best"}, in soil of ${ground}, ${whether}.${wet === "" ? "" : ` ${wet}`}`,
    more: [...levels.missed.map(({ words }) => words), ...(near === null ? [] : [near.words])],
  };
}

function mostWords({ survey: { room } }: WorksProposed["yard"]): string {
  return room === null ? "the most tried here" : "all that one row in the room holds";
}

/** The distance that the published rules of the country ask for, beside the one that was measured. */
function nearHouse({ houseToPit, told: { region }, units }: WorksProposed["yard"]): { readonly tooNear: string | null; readonly words: string } | null {
  if (houseToPit === null) return null;
  const rules = setbackRules.filter((rule) => rule.from === "building" && rule.region === region);
  if (rules.length === 0)
    return { tooNear: null, words: `No published distance from a building is held here for ${regionTaken({ region, units }).name}: ask the local office.` };
  const [closer] = rules.filter(({ distance }) => quantity(distance, "length", "rule") > houseToPit + 1e-6);
  if (closer === undefined) return null;
  const far = lengthText(houseToPit, units);
  return {
    tooNear: `${far}, where ${ruleText(closer)}`,
    words: `The pit lies ${far} from the house, and ${ruleText(closer)}. Ask the local office which distance holds here.`,
  };
}

function howLarge({ yard, site, needed, mostChambers }: WorksProposed): Words {
  const { units, pitToLid } = yard;
  const { chamberBank: pit, overflowTrench: trench } = site;
  const chambers = chamberCount(site);
  const deep = pit.ground - pit.floor;
  const answer =
    `${chambersText(chambers)} in a pit ${lengthText(pit.length, units)} long, ${lengthText(pit.width, units)} wide and ${lengthText(deep, units)} deep` +
    (trench === null || pitToLid === null ? ", and no trench." : `, and ${lengthText(trench.length, units)} of trench to the lid.`);
  return {
    answer,
    band: rangeWords(needed, mostChambers, chambersText, yard),
    more: trench === null || pitToLid === null ? ["There is no lid: what the pit does not hold comes up at the box."]
      : pitToLid - trench.length < 0.05 ? [] : [shorterTrench(pitToLid, trench.length, units)],
  };
}

/** Why the trench is shorter than the way to the lid. */
function shorterTrench(pitToLid: number, trench: number, units: UnitSystem): string {
  return `From the pit’s edge to the lid it is ${lengthText(pitToLid, units)}: the first ${lengthText(pitToLid - trench, units)} of it stay ground as it is, ` +
    `with a closed pipe through it, and the trench takes the ${lengthText(trench, units)} after them.`;
}

/** `2 to 7 chambers, as the soil turns out.` */
function rangeWords(
  { high, low }: WorksProposed["needed"], most: number, text: (chambers: number) => string, yard: WorksProposed["yard"],
): string {
  const [however, as] = [`however ${turnsOut(yard)}`, `as ${turnsOut(yard)}`];
  if (high === null) return `More than ${text(most)}, ${however}.`;
  if (high === low) return `${text(high)}, ${however}.`;
  if (low === null) return `${high === most ? `${text(high)} or more` : rangeText(text(high), `more than ${text(most)}`)}, ${as}.`;
  return `${rangeText(text(high), text(low))}, ${as}.`;
}

/** What a range runs over: the groundwater too, far below at one end and just under the pit at the other, where nobody looked for it. */
function turnsOut({ isGroundwaterKnown }: WorksProposed["yard"]): string {
  return isGroundwaterKnown ? "the soil turns out" : "the soil and the groundwater turn out";
}

/** `12 to 30 gal`: a unit that both have is said once. */
function rangeText(from: string, to: string): string {
  const unit = / [^\d]+$/.exec(from)?.[0] ?? "";
  const isShared = unit !== "" && (to.endsWith(unit) || to.endsWith(`${unit}s`));
  return from === to ? from : `${isShared ? from.slice(0, -unit.length) : from} to ${to}`;
}

function howMuchDigging({ yard, levels, parts, site, needed, mostChambers }: WorksProposed): Words {
  const { units } = yard;
  const { dig, fill } = takeOff(site);
  const dug = (chambers: number): string => bulkText(takeOff(readSite(yardFile(yard, levels.levels, chambers, parts))).dig.volume, units);
  return {
    answer: `${bulkText(dig.volume, units)} to dig, ${bulkText(dig.loose, units)} once it lies loose, and ${bulkText(fill.ordered, units)} of stone to order.`,
    band: rangeWords(needed, mostChambers, (chambers) => `${dug(chambers)} to dig`, yard),
    more: [],
  };
}

function inStorms({ yard }: WorksProposed, { middle, low, high }: Storms): Words {
  const { units, rain } = yard;
  const spread = (name: "normal" | "bad"): string => rangeText(outText(outVolume(high[name]), units), outText(outVolume(low[name]), units));
  const { empty } = middle.normal.drainDown;
  const slow = low.normal.drainDown.empty;
  const isWet = neverEmpty(middle.normal);
  const [dry, notDry] = isWet ? ["Back down to its groundwater, never empty,", "Not back down to its groundwater"] : ["Empty again", "Not empty again"];
  const ready = empty === null ? `${notDry} in three days` : `${dry} in ${roughTime(empty)}`;
  const late = empty === null || slow === empty ? "" : slow === null ? ", at worst not in three days" : `, at worst ${roughTime(slow)}`;
  return {
    answer:
      `Normal (an hour of ${depthText(rain.normal, units)}): ${outcome(middle.normal, units)}. ` +
      `Bad (${depthText(rain.bad, units)}): ${outcome(middle.bad, units)}.`,
    band: `Normal ${spread("normal")}, bad ${spread("bad")}, as ${turnsOut(yard)}. ${ready}${yard.isGroundwaterKnown ? "" : " with groundwater far below"}${late}.`,
    more: [],
  };
}

const NOTHING = 1e-3;

function outText(volume: number, units: Site["units"]): string {
  return volume < NOTHING ? "nothing" : roughVolumeText(volume, units);
}

/** A time that nobody knows to the minute: whole hours, or ten minutes of the first two. */
function roughTime(time: number): string {
  return durationText(time < 7200 ? Math.max(600, Math.round(time / 600) * 600) : Math.round(time / 3600) * 3600);
}

/** All that comes to the surface [m3]. */
function outVolume({ ledger }: Run): number {
  return ledger.emitter + ledger.boxSpill + ledger.bankSpill + ledger.trenchSpill;
}

function outcome(run: Run, units: Site["units"]): string {
  const { emitter, boxSpill, bankSpill, trenchSpill } = run.ledger;
  const elsewhere = boxSpill + bankSpill + trenchSpill;
  if (emitter < NOTHING && elsewhere < NOTHING) return "nothing comes up";
  const lid = emitter < NOTHING ? "" : `${roughVolumeText(emitter, units)} out at the lid`;
  const other =
    elsewhere < NOTHING ? "" : `${roughVolumeText(elsewhere, units)} ${boxSpill >= NOTHING ? "over the box at the house" : "up through the turf"}`;
  return [lid, other].filter((each) => each !== "").join(", ");
}

function whatNext([first, second]: readonly Sharpener[]): Words {
  if (first === undefined)
    return {
      answer: "A second test hole at the other end of the pit, and the buried services, before the digger comes.",
      band: "Everything that is asked here is known; one hole is still one spot.",
      more: [],
    };
  return {
    answer: `${first.fact}${second === undefined ? "" : `; then ${uncapital(second.fact)}`}.`,
    band: `${capital(first.words)}.`,
    more: [],
  };
}

function noPromise({ yard, site }: WorksProposed, { low }: Storms): Words {
  const { units, soil } = yard;
  const steep = steepWords(yard);
  const [normal, bad] = [outVolume(low.normal), outVolume(low.bad)];
  const [lid, next] = [yard.levels.get("lid"), yard.levels.get("neighbour")];
  const below = lid === undefined || next === undefined || next >= lid || low.bad.ledger.emitter <= NOTHING ? null : lid - next;
  const list = [
    ...(soil.from === "test" ? [] : ["a size"]),
    ...(normal > NOTHING ? ["a dry lawn"] : bad > NOTHING ? ["a dry lawn in a bad storm"] : []),
    ...(low.normal.drainDown.empty === null ? ["a pit empty the next day"] : []),
    ...(yard.isGroundwaterKnown ? [] : ["a dry pit before the rain"]),
    ...(site.surroundings === null ? ["a dry wall"] : []),
    ...(steep === null ? [] : ["a slope that stays put"]),
    ...(below === null ? [] : ["a dry lot next door"]),
    "a permit",
  ];
  const taken = [
    ...(soil.from === "test" || soil.from === "figure" ? [] : ["how fast the soil drains"]),
    ...(yard.rain.isAssumed ? ["the rain"] : []),
    ...(yard.isGroundwaterKnown ? [] : ["the groundwater"]),
    ...["wells", "septic fields", "buried lines"],
  ];
  return {
    answer: `${capital(listed(list, "or"))}.`,
    band: `Not measured or asked here: ${taken.join(", ")}.`,
    more: [
      ...(below === null ? []
        : [`The neighbour’s line lies ${nearText(below, units, "up")} lower than the lid: what comes out there can run on to it. Ask before it is built whether it may.`]),
      ...(normal > NOTHING ? [`In the slowest that the soil may be ${roughVolumeText(normal, units)} come out in a normal summer storm.`] : []),
      ...(steep === null ? [] : [steep]),
      ...yard.assumed,
      "A permit: local rules decide, and wells, septic fields, slopes beyond the points that were read and buried services were not asked here.",
    ],
  };
}

/**
 * What each fact that is missing does to the answer, reckoned where it counts in chambers.
 *
 * @param works  those proposed, or those after the first remedy; null without any
 */
async function sharpenersOf(yard: Proposal["yard"], works: WorksProposed | null): Promise<Sharpener[]> {
  const { survey, soil, book, units } = yard;
  const found: Sharpener[] = works === null ? [] : await inChambers(works);
  const plain = (isMissing: boolean, key: string, fact: string, words: string): void => {
    if (isMissing) found.push({ key, fact, words, how: "", swing: 0 });
  };
  const hasLid = yard.pitToLid !== null;
  plain(works === null && soil.from !== "test", "soil", "A test hole where the pit will be", "it decides how large anything has to be");
  plain(book.closing === null, "reading 1 benchmark again", "The benchmark read once more", "nothing else shows that no reading is wrong");
  plain(survey.distances.boxToPit === null && yard.plan?.has("box") !== true, "boxToPit", "The way from the box to the pit", "the fall of the pipe hangs on it");
  plain(hasLid && survey.distances.pitToLid === null && yard.plan?.has("lid") !== true, "pitToLid", "The way from the pit to the lid", "the length of the trench hangs on it");
  plain(yard.houseToPit === null, "houseToPit", "The distance from the house", "rules ask for it, and the wall’s dryness hangs on it");
  plain(!yard.levels.has("house"), "reading 1 house", "A reading at the floor of the house", "it says whether water at the lid stays below the floor");
  plain(!hasLid, "reading 1 lid", "A reading where a lid could lie", "a trench to a lid takes what the pit does not hold");
  plain(hasLid && !yard.levels.has("trench"), "reading 1 trench", "A reading at the head of the trench",
    `the ground there is taken on a straight line, and ${units === "us" ? "six inches" : "15 cm"} of soil over the stone hang on it`);
  plain(hasLid && !yard.levels.has("low point"), "reading 1 low point", "A reading at the low point of the lot", "it says how far the lid could be moved, and where its water runs on to");
  plain(hasLid && !yard.levels.has("neighbour"), "reading 1 neighbour", "A reading at the neighbour’s line", "it says whether water from the lid runs over it");
  plain(survey.room === null, "room", "The room for the pit", "it says how many chambers fit at all");
  found.sort((a, b) => b.swing - a.swing);
  return hasOneMoreFill(yard)
    ? [{ key: "soil", fact: "One more fill of the test hole", words: "the fills so far are too few or too far apart, and the soil may take in less once it is wet", how: "", swing: 0 }, ...found]
    : found;
}

/** A slope from here on is no plain lawn: common practice, no source. */
const STEEP = 0.1;

/** A caution where the ground between two points that were read and measured falls by more than a tenth; null where it does not. */
function steepWords({ levels, survey: { distances }, plan, boxToPit, pitToLid, units }: Proposal["yard"]): string | null {
  const ways: readonly (readonly [from: string, to: string, way: number | null])[] = [
    ["box", "pit", distances.boxToPit !== null || plan?.has("box") === true ? boxToPit : null],
    ["pit", "lid", distances.pitToLid !== null || plan?.has("lid") === true ? pitToLid : null],
    ["lid", "low point", distances.lidToLowPoint],
  ];
  const steep = ways.flatMap(([from, to, way]) => {
    const [a, b] = [levels.get(from), levels.get(to)];
    const fall = a === undefined || b === undefined || way === null || way === 0 ? 0 : Math.abs(a - b) / way;
    return fall > STEEP ? [`${Math.round(100 * fall)} in 100 from the ${from} to the ${to} (over ${lengthText(way!, units)})`] : [];
  });
  return steep.length === 0 ? null
    : `Steep ground: ${listed(steep, "and")}. Water let into a slope can come out again below, or make it slide: keep off banks and walls, ` +
      "mind the footing of people and machines, and ask a licensed practitioner whether it stays put (common practice).";
}

/** A hole with readings that was not filled often enough. */
function hasOneMoreFill({ survey: { soil }, units }: Proposal["yard"]): boolean {
  const result = soil?.test?.result;
  // a rate given without its readings leaves two points a fill, which say nothing of another
  if (result === undefined || !("fills" in result) || result.fills.every(({ time }) => time.length < 3)) return false;
  return !verdictOf(result, units).isEnough;
}

/** Facts whose lack is counted in chambers. */
async function inChambers({ yard, needed, mostChambers, levels, parts }: WorksProposed): Promise<Sharpener[]> {
  const { soil } = yard;
  const found: Sharpener[] = [];
  const swing = (few: number | null, many: number | null): number => (many ?? mostChambers + 1) - (few ?? mostChambers + 1);
  const span = (few: number | null, many: number | null): string =>
    few === null ? `more than ${chambersText(mostChambers)}` : `${few} to ${many === null ? `more than ${mostChambers}` : many} chambers`;
  const bySoil = swing(needed.high, needed.low);
  if (soil.from !== "test") {
    found.push({
      key: "soil",
      fact: "A test hole where the pit will be",
      words: bySoil === 0 ? "it decides how soon the pit is empty again" : `for lack of it the answer runs from ${span(needed.high, needed.low)}`,
      how: "Fill a hole with water and time the fall, where the pit will be and at its depth.",
      swing: bySoil,
    });
  } else if (bySoil > 2) {
    found.push({
      key: "soil",
      fact: "A second test hole, at the other end of the pit",
      words: `one hole is one spot, and the answer still runs from ${span(needed.high, needed.low)}`,
      how: "",
      swing: bySoil / 2,
    });
  }
  if (!yard.isGroundwaterKnown) {
    const wet = await neededIn(yard, levels, parts, mostChambers, soil.middle, overWater);
    const byWater = swing(needed.middle, wet.chambers);
    found.push({
      key: "groundwater",
      fact: "The groundwater, in the wet season",
      words:
        byWater === 0
          ? "it decides whether the pit stands empty before the rain"
          : `a foot under the pit it would make ${span(needed.middle, wet.chambers)}`,
      how: "",
      swing: Math.max(1, byWater),
    });
  }
  if (yard.rain.isAssumed) {
    const [dry, wet] = await Promise.all(
      [0.7, 1.4].map((factor) =>
        neededIn(
          { ...yard, rain: { ...yard.rain, normal: factor * yard.rain.normal, bad: factor * yard.rain.bad } },
          levels,
          parts,
          mostChambers,
          soil.middle,
        ),
      ),
    );
    const byRain = swing(dry!.chambers, wet!.chambers);
    found.push({
      key: "rain",
      fact: "The rain of the place",
      words: byRain === 0 ? "30 % less or 40 % more of it would change no size" : `30 % less or 40 % more of it would make ${span(dry!.chambers, wet!.chambers)}`,
      how: "",
      swing: byRain,
    });
  }
  return found;
}

function uncapital(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

function chambersText(count: number): string {
  return `${count} ${count === 1 ? "chamber" : "chambers"}`;
}
