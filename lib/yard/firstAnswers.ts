import { designStormAt } from "../rain/storms/designStorm.ts";
import { settledRun } from "../simulate/settledRun.ts";
import type { Run } from "../simulate/run.ts";
import type { SimulateOptions } from "../simulate/runOptions.ts";
import { regionTaken } from "../site/region.ts";
import { setbackRules } from "../plan/setbackRules.ts";
import type { Site } from "../site/site.ts";
import { chamberCount } from "../study/resized.ts";
import { takeOff } from "../plan/takeOff.ts";
import { bulkText, depthText, durationText, intensityText, lengthText, volumeText } from "../text/format.ts";
import { quantity } from "../text/quantity.ts";
import { readSite } from "../site/readSite.ts";
import { inSoil, neededIn, overWater, type Proposal, type WorksProposed } from "./proposeWorks.ts";
import { BAD, NORMAL, yardFile } from "./yardFile.ts";

/** One of the six answers of a first call. */
export interface FirstAnswer {
  readonly question: string;
  /** the answer as far as it is told */
  readonly answer: string;
  /** how far it may lie from that, and what that hangs on; "" where there is nothing to add */
  readonly band: string;
}

/** What one further fact would sharpen. */
export interface Sharpener {
  readonly fact: string;
  readonly words: string;
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
 * where nobody
 * has looked for it.
 */
export async function firstAnswers(proposal: Proposal): Promise<FirstAnswers> {
  const sharpeners = await sharpenersOf(proposal);
  if (proposal.kind === "impossible") {
    const { missed } = proposal;
    const no = `Not before the levels are changed: ${missed.words}`;
    const rest = "Not to be said before the levels fit.";
    return {
      answers: firstQuestions.map((question, i): FirstAnswer => ({
        question,
        band: "",
        answer: [
          no,
          rest,
          rest,
          rest,
          nextWords(sharpeners),
          "That water finds its way out by its own fall: on these levels it does not.",
        ][i]!,
      })),
      sharpeners,
      runs: null,
    };
  }
  const runs = { normal: runOf(proposal.site, NORMAL), bad: runOf(proposal.site, BAD) };
  const [lowSite, highSite] = [doubtful(proposal, "low"), doubtful(proposal, "high")];
  const low = { normal: runOf(lowSite, NORMAL), bad: runOf(lowSite, BAD) };
  const high = { normal: runOf(highSite, NORMAL), bad: runOf(highSite, BAD) };
  const answers = [
    canItWork(proposal),
    howLarge(proposal),
    howMuchDigging(proposal),
    inStorms(proposal, runs, low, high),
    { answer: nextWords(sharpeners), band: "" },
    noPromise(proposal, low),
  ].map((each, i) => ({ question: firstQuestions[i]!, ...each }));
  return { answers, sharpeners, runs };
}

type Words = Pick<FirstAnswer, "answer" | "band">;

/** @param name  of one of the file's own storms of a pattern */
export function runOf(site: Site, name: string, options: SimulateOptions = {}): Run {
  const storm = site.storms.find((each) => each.name === name)!;
  return settledRun(site, designStormAt("designStorm", storm.options), options);
}

/** The proposed works in the least or the most that the soil may be; in the least also over groundwater where nobody has looked. */
function doubtful({ site, yard }: WorksProposed, which: "low" | "high"): Site {
  const changed = inSoil(site, yard.soil[which]);
  return which === "low" && !yard.isGroundwaterKnown ? overWater(changed) : changed;
}

function canItWork({ yard, levels, needed, mostChambers, notReached, chambers }: WorksProposed): Words {
  const { units } = yard;
  const but = levels.missed.map(({ words }) => `But: ${words}`);
  const near = nearHouse(yard);
  const yes =
    needed.middle === null
      ? `Only in part: with ${chambersText(chambers)}, which is the most tried here, it is not reached that ${notReached.join(", nor that ")}.`
      : levels.missed.length === 0
        ? "Yes, as far as told: everything falls towards the lid, and the works that do what is asked fit between the levels."
        : "It can be built, and not everything that is wished can be had.";
  const worst =
    needed.low === null
      ? `In the least that the soil may be, ${intensityText(yard.soil.low, units)}, even ${chambersText(mostChambers)} would not do what is asked.`
      : `Even in the least that the soil may be, ${intensityText(yard.soil.low, units)}, ${chambersText(needed.low)} would.`;
  return { answer: [yes, ...but, ...(near === null ? [] : [near])].join(" "), band: needed.middle === null ? "" : worst };
}

/** The distance that the published rules of the country ask for, beside the one that was measured. */
function nearHouse({ houseToPit, told: { region }, units }: WorksProposed["yard"]): string | null {
  if (houseToPit === null) return null;
  const rules = setbackRules.filter((rule) => rule.from === "building" && rule.region === region);
  if (rules.length === 0)
    return `No published distance from a building is held here for ${regionTaken({ region, units }).name}: ask the local office.`;
  const closer = rules.filter(({ distance }) => quantity(distance, "length", "rule") > houseToPit + 1e-6);
  if (closer.length === 0) return null;
  const [first] = closer;
  return `The pit lies ${lengthText(houseToPit, units)} from the house, and ${first!.says} asks for ${first!.distance}${first!.status === "from memory" ? " (from memory)" : ""}.`;
}

function howLarge({ yard: { units, pitToLid }, site, needed, mostChambers }: WorksProposed): Words {
  const { chamberBank: pit, overflowTrench: trench } = site;
  const chambers = chamberCount(site);
  const deep = pit.ground - pit.floor;
  const answer =
    `${capitalNumber(chambers)} in a pit ${lengthText(pit.length, units)} long, ${lengthText(pit.width, units)} wide and ${lengthText(deep, units)} deep` +
    (trench === null || pitToLid === null
      ? "; there is no lid, and what the pit does not hold comes up at the box."
      : `, and ${lengthText(trench.length, units)} of trench to the lid.`);
  return { answer, band: rangeWords(needed.high, needed.low, mostChambers) };
}

/** `Between 2 and 7 chambers, as the soil turns out.` */
function rangeWords(few: number | null, many: number | null, most: number): string {
  const over = `more than ${chambersText(most)}`;
  if (few === null) return `As the soil turns out, it may be ${over} in any case.`;
  if (few === many) return `${capitalNumber(few)} over all that the soil may be.`;
  return `Between ${chambersText(few)} and ${many === null ? over : chambersText(many)}, as the soil turns out.`;
}

function howMuchDigging(proposal: WorksProposed): Words {
  const { yard, levels, parts, site, needed, mostChambers } = proposal;
  const { units } = yard;
  const { dig, fill } = takeOff(site);
  const dug = (chambers: number | null): string =>
    bulkText(takeOff(readSite(yardFile(yard, levels.levels, chambers ?? mostChambers, parts))).dig.volume, units);
  const band =
    needed.high === needed.low
      ? ""
      : `Between ${dug(needed.high)} and ${needed.low === null ? "more than " : ""}${dug(needed.low)}, as the soil turns out.`;
  return {
    answer: `${bulkText(dig.volume, units)} to dig, ${bulkText(dig.loose, units)} once it lies loose, and ${bulkText(fill.ordered, units)} of stone to order.`,
    band,
  };
}

interface Storms {
  readonly normal: Run;
  readonly bad: Run;
}

function inStorms({ yard: { units, rain } }: WorksProposed, middle: Storms, low: Storms, high: Storms): Words {
  const of = (name: "normal" | "bad"): string => {
    const words = `In a ${name === "normal" ? NORMAL : BAD} (${depthText(rain[name], units)} in an hour) ${outcome(middle[name], units)}`;
    const [least, most] = [outVolume(high[name]), outVolume(low[name])];
    return `${words}${most - least > 0.02 ? `; ${least < NOTHING ? "from nothing" : volumeText(least, units)} to ${volumeText(most, units)}, as the soil turns out` : ""}.`;
  };
  const { empty } = middle.normal.drainDown;
  const slow = low.normal.drainDown.empty;
  const ready = empty === null ? "The pit is not empty again within three days" : `The pit is empty again after ${durationText(empty)}`;
  return {
    answer: `${of("normal")} ${of("bad")}`,
    band: `${ready}${slow === empty ? "" : slow === null ? "; in the least soil not within three days" : `; in the least soil after ${durationText(slow)}`}.`,
  };
}

const NOTHING = 1e-3;

/** All that comes to the surface [m3]. */
function outVolume({ ledger }: Run): number {
  return ledger.emitter + ledger.boxSpill + ledger.bankSpill + ledger.trenchSpill;
}

function outcome(run: Run, units: Site["units"]): string {
  const { emitter, boxSpill, bankSpill, trenchSpill } = run.ledger;
  const elsewhere = boxSpill + bankSpill + trenchSpill;
  if (emitter < NOTHING && elsewhere < NOTHING) return "nothing comes to the surface";
  const lid = emitter < NOTHING ? "" : `the lid lets out ${volumeText(emitter, units)}`;
  const other =
    elsewhere < NOTHING
      ? ""
      : `${volumeText(elsewhere, units)} ${boxSpill >= NOTHING ? "run over the box at the house" : "come up through the turf"}`;
  return [lid, other].filter((each) => each !== "").join(", and ");
}

function nextWords(sharpeners: readonly Sharpener[]): string {
  const [first, second] = sharpeners;
  if (first === undefined)
    return "Everything that is asked here is known. Before the digger comes: a second test hole at the other end of the pit, and the buried services.";
  return `${first.fact}: ${first.words}${second === undefined ? "" : ` Then: ${second.fact.toLowerCase()}.`}`;
}

function noPromise({ yard, site }: WorksProposed, low: Storms): Words {
  const { units } = yard;
  const list = [
    ...(yard.soil.from === "test" ? [] : ["any size: the soil is not tested"]),
    ...(outVolume(low.normal) > NOTHING
      ? [`a dry lawn in a normal summer storm: in the least soil ${volumeText(outVolume(low.normal), units)} come out`]
      : []),
    ...(outVolume(low.bad) > NOTHING ? ["a dry lawn in a bad storm"] : []),
    ...(low.normal.drainDown.empty === null ? ["a pit that is empty for the next day’s rain"] : []),
    ...(yard.isGroundwaterKnown ? [] : ["a dry pit before the rain: nobody has looked for groundwater in the wet season"]),
    ...(site.surroundings === null ? ["a dry wall: the distance to the house is not measured"] : []),
    "a permit: local rules decide, and buried services, wells, septic fields and slopes were not asked here",
  ];
  return {
    answer: `${list.map((each, i) => (i === 0 ? each[0]!.toUpperCase() + each.slice(1) : each)).join("; ")}.`,
    band: yard.assumed.join(" "),
  };
}

/** What each fact that is missing does to the answer, reckoned where it counts in chambers. */
async function sharpenersOf(proposal: Proposal): Promise<Sharpener[]> {
  const { yard } = proposal;
  const { survey, soil, book, units } = yard;
  const found: Sharpener[] = [];
  if (proposal.kind === "works") {
    const { needed, mostChambers, levels, parts } = proposal;
    const span = (few: number | null, many: number | null): { swing: number; words: string } => ({
      swing: (many ?? mostChambers + 1) - (few ?? mostChambers + 1),
      words: `${few === null ? `more than ${mostChambers}` : few} to ${many === null ? `more than ${mostChambers}` : many} chambers`,
    });
    const bySoil = span(needed.high, needed.low);
    if (soil.from !== "test") {
      found.push({
        fact: "A test hole where the pit will be",
        swing: bySoil.swing,
        words: `${bySoil.swing === 0 ? "it decides how soon the pit is empty again." : `for lack of it the answer runs from ${bySoil.words}.`} Fill a hole with water and time the fall, there and at the pit’s depth.`,
      });
    } else if (bySoil.swing > 2) {
      found.push({
        fact: "A second test hole, at the other end of the pit",
        swing: bySoil.swing / 2,
        words: `one hole is one spot, and the answer still runs from ${bySoil.words}.`,
      });
    }
    if (!yard.isGroundwaterKnown) {
      const wet = await neededIn(yard, levels, parts, mostChambers, soil.middle, overWater);
      const byWater = span(needed.middle, wet.chambers);
      found.push({
        fact: "The groundwater, in the wet season",
        swing: Math.max(1, byWater.swing),
        words:
          byWater.swing === 0
            ? "it decides whether the pit stands empty before the rain."
            : `if it stood a foot under the pit, it would be ${byWater.words}.`,
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
      const byRain = span(dry!.chambers, wet!.chambers);
      found.push({
        fact: "The rain of the place",
        swing: byRain.swing,
        words: `with 30 % less or 40 % more of it, it would be ${byRain.words}.`,
      });
    }
  }
  if (book.closing === null)
    found.push({ fact: "The benchmark read once more", swing: 0, words: "nothing else shows that no reading is wrong." });
  if (survey.distances.boxToPit === null && !yard.plan?.has("box"))
    found.push({ fact: "The way from the box to the pit", swing: 0, words: "the fall of the pipe hangs on it." });
  if (yard.pitToLid !== null && survey.distances.pitToLid === null && !yard.plan?.has("lid"))
    found.push({ fact: "The way from the pit to the lid", swing: 0, words: "the length of the trench hangs on it." });
  if (yard.houseToPit === null)
    found.push({ fact: "The distance from the house", swing: 0, words: "rules ask for it, and the wall’s dryness hangs on it." });
  if (!yard.levels.has("house"))
    found.push({ fact: "A reading at the floor of the house", swing: 0, words: "whether water at the lid stays below it." });
  if (yard.pitToLid !== null && !yard.levels.has("trench"))
    found.push({
      fact: "A reading at the head of the trench",
      swing: 0,
      words: `the ground there is taken on a straight line from the pit to the lid, and ${units === "us" ? "six inches" : "15 cm"} of soil over the stone hang on it.`,
    });
  if (survey.room === null) found.push({ fact: "The room for the pit", swing: 0, words: "how many chambers fit at all." });
  return found.sort((a, b) => b.swing - a.swing);
}

function chambersText(count: number): string {
  return `${count} ${count === 1 ? "chamber" : "chambers"}`;
}

function capitalNumber(count: number): string {
  return count === 1 ? "One chamber" : `${count} chambers`;
}
