import { durationText, threeFigures } from "../../text/format.ts";
import { fitFallingHead, fittedDepth, type FallingHeadFit, type FallingHeadLaw, type Fill } from "./fallingHead.ts";
import type { JudgedFill } from "./fallingHeadTest.ts";
import { percentText } from "../../text/words.ts";

/** Fills that differ by less than this share count as alike: common practice, from memory. */
const ALIKE = 0.1;

/** What a person should know about the fills of a test, in sentences. */
export function fillNotes(
  fills: readonly JudgedFill[], governing: number, law: FallingHeadLaw, naiveFactor: number | null,
): string[] {
  const slowest = fills[governing]!;
  if (!slowest.drained) return neverDrained(slowest);
  return [
    ...dryingIn(fills, governing),
    ...bending(slowest.fill, law),
    ...(slowest.fit.standardError === null
      ? ["Two readings leave no residual to judge by, so the band is the scatter of soils within a site."] : []),
    ...naiveReading(naiveFactor),
  ];
}

function naiveReading(factor: number | null): string[] {
  if (factor === null || Math.abs(factor - 1) < 0.05) return [];
  const wrong = factor > 1 ? `${threeFigures(factor)} times too high` : `${threeFigures(1 / factor)} times too low`;
  return [`The speed at which water falls in a hole is no conductivity: taken for one it would be ${wrong}.`];
}

function neverDrained({ fill, fit }: JudgedFill): string[] {
  const watched = durationText(fill.time.at(-1)! - fill.time[0]!);
  const rose = fit.standardError === null ? fill.depth.at(-1)! > fill.depth[0]! : -fit.hydraulicConductivity > 2 * fit.standardError;
  if (rose) {
    return [
      `The water rose over ${watched}: groundwater comes into the hole. It says where the water table is, not how well the soil drains.`,
      "Read the level when it has stopped rising, and give it as the groundwater level. A pit below it fills from the ground.",
    ];
  }
  return [
    `In ${watched} the water did not fall by more than the readings can show: this hole does not drain.`,
    "Either groundwater stands as high as the water in the hole (or is held up there by a tight layer), or the soil is tight clay, or "
      + "digging smeared the sides shut.",
    "To tell which: bail the hole out and look again the next day. If water has come back, that is the water table, and no pit drains "
      + "while it stands there, however large. If it stays dry, roughen the sides, soak the hole over night and test again: only if it "
      + "still holds water is it the clay.",
    "As measured the conductivity is 0. The band ends at what could have gone unseen.",
  ];
}

/** A soil that is not yet soaked drinks by suction too, so its first fills are too fast. */
function dryingIn(fills: readonly JudgedFill[], governing: number): string[] {
  if (fills.length === 1) {
    return ["One fill only: soil that is not yet soaked drinks faster than it drains. Fill again until two fills agree within a tenth."];
  }
  const [before, last] = fills.slice(-2).map(({ fit }) => fit.hydraulicConductivity) as [number, number];
  const notes: string[] = [];
  if (last < (1 - ALIKE) * before) {
    notes.push(`The last fill drained ${percentText(1 - last / before)} slower than the one before: the soil was still drying in, that is not `
      + "yet soaked. Fill again until two fills agree within a tenth; the conductivity may still come down.");
  } else if (last > (1 + ALIKE) * before) {
    notes.push(`The last fill drained ${percentText(last / before - 1)} faster than the one before: something opened in the hole, or the `
      + "readings are loose. The slowest fill is used.");
  }
  const first = fills[0]!.fit.hydraulicConductivity;
  const slowest = fills[governing]!.fit.hydraulicConductivity;
  if (slowest < (1 - ALIKE) * first) {
    notes.push(`Fill ${governing + 1} of ${fills.length} is the slowest and is used; the first was ${threeFigures(first / slowest)} times `
      + "as fast.");
  }
  return notes;
}

/** Halves of a fill's readings that the law fits by clearly different conductivities. */
function bending(fill: Fill, law: FallingHeadLaw): string[] {
  const count = fill.time.length;
  if (count < 6) return [];
  const [early, late] = [half(fill, 0, Math.ceil(count / 2)), half(fill, Math.floor(count / 2), count)];
  const [first, second] = [fitFallingHead(early, law), fitFallingHead(late, law)];
  const [k1, k2] = [first.hydraulicConductivity, second.hydraulicConductivity];
  // Far beyond what a fit that is right would show, so that a note means something.
  const clear = Math.abs(k1 - k2) > 4 * Math.hypot(first.standardError!, second.standardError!) && Math.abs(k1 - k2) > 2 * ALIKE * k1;
  if (!clear) return [];
  if (stands(early, late, first, law)) {
    return ["The water stopped falling with some of it left in the hole: a water table, or a tight layer, stands at that level. The "
      + "conductivity is of the soil above it at best; give that level as the groundwater level."];
  }
  return [k2 < k1
    ? "The second half of this fill drained slower than its first half would have it: the soil is still drying in, or a water table "
      + "is near. Take the conductivity for an upper bound."
    : "The second half of this fill drained faster than its first half would have it: the soil is more open lower down, or the "
      + "readings are loose."];
}

/** Hardly any fall in the late half, where the early half's conductivity would have made one that shows. */
function stands(early: Fill, late: Fill, first: FallingHeadFit, law: FallingHeadLaw): boolean {
  const [begin, end] = [late.depth[0]!, late.depth.at(-1)!];
  const expected = begin - Math.max(0, fittedDepth({ ...first, start: begin }, law, late.time.at(-1)! - late.time[0]!));
  const fellBefore = early.depth[0]! - early.depth.at(-1)!;
  return end > 0.1 * early.depth[0]! && begin - end < 0.1 * expected && begin - end < 0.1 * fellBefore;
}

function half({ time, depth }: Fill, from: number, to: number): Fill {
  return { time: time.slice(from, to), depth: depth.slice(from, to) };
}
