import { levellingBook, type WrittenBook } from "../plan/levellingBook.ts";
import { chamberCount } from "../study/resized.ts";
import type { UnitSystem } from "../text/format.ts";
import { InputError } from "../text/problem.ts";
import { type HoleTest, holeVerdict } from "../yard/holeVerdict.ts";
import type { WorksProposed } from "../yard/proposeWorks.ts";
import type { AnswersRead } from "../yard/questions.ts";
import { holePicture, planPicture, roofPicture, sectionPicture } from "../yard/yardPictures.ts";
import { sketchOf, type YardSketch } from "../yard/yardSketch.ts";
import { byId, put, say } from "./elements.ts";

/**
 * The pictures of what was given, and of the works in it.
 *
 * @param works  null before they are proposed, or if their figures have changed since
 */
export function showSketches(read: AnswersRead, works: WorksProposed | null): void {
  const whole = sketchWith(read, works);
  const width = byId("ground-picture").clientWidth;
  put("roof-picture", roofPicture(whole, width));
  put("ground-picture", sectionPicture({ ...whole, works: null }, width));
  put("plan-picture", planPicture(whole, width));
  put("works-picture", whole.works === null ? null : sectionPicture(whole, width));
  const test = holeTestOf(read.draft["soil"]);
  if (test?.fills === undefined) {
    put("hole-picture", null);
    say("hole-words", "");
    return;
  }
  try {
    const verdict = holeVerdict(test, read.units);
    say("hole-words", verdict.words);
    put("hole-picture", holePicture(verdict, read.units, width));
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    say("hole-words", error.problems.map(({ expected, got }) => `expected ${expected}, got ${got}`).join("; "));
    put("hole-picture", null);
  }
}

/** The test of a soil that was given as a hole filled with water. */
function holeTestOf(soil: unknown): HoleTest | undefined {
  return (soil as { readonly test?: HoleTest } | undefined)?.test;
}

function sketchWith(read: AnswersRead, works: WorksProposed | null): YardSketch {
  const plain = sketchOf(read.draft, read.units);
  if (works === null || read.told === null) return plain;
  const { site, levels } = works;
  const {
    chamberBank: pit,
    overflowTrench: trench,
    emitter,
    settlingBoxes: [box],
    groundwater,
  } = site;
  return {
    ...plain,
    groundwater: groundwater.level?.level[0] ?? null,
    works: {
      chambers: chamberCount(site),
      pitLength: pit.length,
      pitWidth: pit.width,
      trenchLength: trench?.length ?? 0,
      levels: {
        ...levels.levels,
        boxOutlet: box!.outlet.invert,
        pitInlet: box!.outlet.outletInvert,
        stoneTop: pit.stoneTop,
        pitFloor: pit.floor,
        ...(trench === null ? {} : { trenchHigh: trench.floor, trenchLow: trench.lowFloor }),
        ...(emitter === null ? {} : { crest: emitter.crest }),
      },
    },
  };
}

/**
 * What the readings so far say of themselves, as soon as a second place or a second reading gives something to say: closed or not, and
 * the slip that it looks like. "" before that.
 *
 * @param draft  the survey so far
 */
export function bookNote({ benchmark, setUps }: Readonly<Record<string, unknown>>, units: UnitSystem): string {
  const book = { benchmark, setUps } as WrittenBook;
  if (book.setUps.length === 0) return "";
  try {
    const { closing, note } = levellingBook(book, units);
    return closing === null && book.setUps.length === 1 ? "" : note;
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return error.problems.map(({ expected, got }) => `Expected ${expected}, got ${got}.`).join(" ");
  }
}
