import { threeFigures } from "../text/format.ts";
import { optionReader } from "../text/optionReader.ts";
import type { Site } from "./site.ts";

/** What a fill test, or a season of a logger, found of the soil round works that stand. */
export interface MeasuredSoil {
  /** the day of the entry; of a season its last */
  readonly date: string;
  readonly by: "fill test" | "season";
  /** the soil over what was tested or given, without a factor of safety, and the ends within which 95 of 100 lie */
  readonly factor: number;
  readonly low: number;
  readonly high: number;
}

/**
 * The soil as the latest entry of the diary has it that says both what was found and what the design then counted on in its top layer, so
 * that a soil or a factor of safety which was changed in the file since then is not counted twice. Of an entry with the dips of a fill
 * test alone `withFoundSoil` says both.
 *
 * @returns  null where no entry says both
 * @throws InputError  with what is wrong with the entry
 */
export function measuredSoil({ diary, soil }: Pick<Site, "diary" | "soil">): MeasuredSoil | null {
  const told = diary.map((entry, i) => ({ entry, i })).filter(({ entry: { found } }) => isTold(found))
    .sort((a, b) => a.entry.date.localeCompare(b.entry.date)).at(-1);
  if (told === undefined) return null;
  const read = optionReader(`diary[${told.i}].found`, told.entry["found"], "What was found cannot be used:");
  const rule = { above: 0, most: 1e6 } as const;
  const [value, low, high] = [read.number("soil", rule), read.number("low", rule), read.number("high", rule)];
  const countedOn = read.quantity("countedOn", "speed", { above: 0, most: 10 });
  read.raw("since");
  read.raw("empties");
  if (!(low <= value && value <= high)) read.problem("soil", "a number between its low and its high end");
  read.done();
  const given = countedOn / soil.layers[0]!.conductivity;
  const by = told.entry["dips"] === undefined ? "season" : "fill test";
  return { date: told.entry.date, by, factor: value * given, low: low * given, high: high * given };
}

function isTold(found: unknown): boolean {
  return typeof found === "object" && found !== null && "countedOn" in found;
}

/** The soil of the rule of design, in words: what sizes and storms are judged in, whatever was measured since. */
export function ruleSoil(site: Pick<Site, "diary" | "soil">): string {
  const { factorOfSafety } = site.soil;
  const divided = factorOfSafety === 1 ? "" : `divided by ${threeFigures(factorOfSafety)}`;
  return measuredSoil(site) === null ? `soil ${divided}` : divided === "" ? "soil as given" : `soil as given, ${divided}`;
}

/** What the draws of a site's soil centre on, in words. */
export function soilCentre(site: Pick<Site, "diary" | "soil">): string {
  const measured = measuredSoil(site);
  return measured === null ? "tested or given" : `measured ${whenMeasured(measured)}`;
}

/** Whose figure it is: `a fill test on 2026-05-02`, `a season of a logger until 2026-03-02`. */
export function measuredBy(measured: MeasuredSoil): string {
  return `${measured.by === "season" ? "a season of a logger" : "a fill test"} ${whenMeasured(measured)}`;
}

function whenMeasured({ by, date }: MeasuredSoil): string {
  return `${by === "season" ? "until" : "on"} ${date.slice(0, 10)}`;
}
