import { timeStamp } from "../rain/record/timeStamp.ts";
import { choiceField } from "../schema/choiceField.ts";
import { copiedValue } from "../schema/copiedObject.ts";
import { mapped, orNone, withDefault, type Field, type JsonSchema } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { objectField } from "../schema/objectField.ts";
import { proseField } from "../schema/scalarFields.ts";
import { describe } from "../text/describe.ts";
import { listSchema, numberSchema, objectSchema, quantitySchema, textSchema } from "./stormField.ts";

/**
 * An entry of the file with its day. What stands in it is kept as it is written, and is checked by those who use it: what was built by
 * `asBuilt`, dips by `fillTest` and `failedPit`.
 */
export type DatedEntry = Readonly<Record<string, unknown>> & { readonly date: string };

/** The works as they were found in the open dig, an entry for each day something was found. */
export function asBuiltField(): Field<readonly DatedEntry[]> {
  return entriesField("the works as they were built, where they differ from this file; the latest entry stands over the earlier ones, which stay", objectField("what was built", {
    date: dayField("the day it was read"),
    about: orNone(proseField("who read it, and how")),
    ...Object.fromEntries(BUILT_PARTS.map((part) => [part, orNone(asWritten(`of ${part} what differs, in the file's own keys; a list stands in place of the whole list`, { type: ["object", "array"] }))])),
  }));
}

/** Parts of a site file that are built, or found in the dig. */
export const BUILT_PARTS: readonly string[] = Object.freeze(["catchments", "settlingBox", "chamberBank", "overflowTrench", "emitter", "lowSpot", "soil", "groundwater"]);

/** What was seen and done over the years: dips, cleanings, openings of the lid. */
export function diaryField(): Field<readonly DatedEntry[]> {
  return entriesField("what was seen and done over the years, each with its day; earlier entries stay", objectField("a day", {
    date: dayField("its day, with the hour where that is known"),
    note: orNone(proseField("what a reader should know of that day")),
    cleaned: orNone(choiceField("what was cleaned", ["boxes", "pit", "boxes and pit"] as const)),
    lid: orNone(choiceField("how the emitter's lid was seen", ["open", "shut"] as const)),
    found: orNone(asWritten("what a season of a logger found, or a fill test made in other works than this file now has: the soil over what the design counts on, and its band", objectSchema("what was found", {
      soil: numberSchema("the soil over what the design counts on", 0, 1000), low: numberSchema("its low end", 0, 1000), high: numberSchema("its high end", 0, 1e6),
      since: textSchema("the first day of a season"),
      empties: objectSchema("how long the works then took to empty, by all that was measured", {
        storm: textSchema("after which storm"), half: { description: "to half empty", type: "boolean" },
        time: quantitySchema("time", "how long"), low: quantitySchema("time", "its low end"), high: quantitySchema("time", "its high end"),
      }, ["storm", "time", "low", "high"]),
      countedOn: quantitySchema("speed", "what the design then counted on in its top layer, divided by its factor of safety: with it the figure goes into `decide`"),
    }, ["soil", "low", "high"]))),
    ...Object.fromEntries(Object.entries(DIPS).map(([key, schema]) => [key, orNone(asWritten(String(schema["description"]), schema))])),
  }));
}

/** Of a fill test or of works that fail: the options of both. */
const DIPS: Readonly<Record<string, JsonSchema>> = {
  dips: { description: "water in the works on that day: a list, or the page of a notebook as text", anyOf: [{ type: "string" }, listSchema("dips", { type: "object" })] },
  markLevel: { description: "level of the mark that a tape hangs from", type: ["string", "object"] },
  dipError: quantitySchema("length", "what a dip is off, one standard deviation"),
  inflow: { description: "the hose of a fill test", type: "object" },
  groundwaterLevel: quantitySchema("length", "level of the groundwater on the day of a fill test"),
  suspects: listSchema("what to look for beside the soil in a fill test", textSchema("a cause")),
  storm: { description: "the storm before the dips of works that fail: by its name, or in full", type: ["string", "object"] },
  hose: { description: "or the hose", type: "object" },
  timesFrom: { description: "whether times count from the start of storm or hose, or from its end", enum: ["start", "end"] },
  began: textSchema("the hour at which rain or hose began, where dips are by the clock"),
  ended: textSchema("or at which it ended"),
  seen: listSchema("what was seen at the surface", textSchema("a sight")),
  loadError: numberSchema("what the water that ran in may be off by, as a share of it", 0, 0.5),
};

/** An entry says something besides its day. */
function entriesField(about: string, entry: Field<Readonly<Record<string, unknown>>>): Field<readonly DatedEntry[]> {
  const dated: Field<DatedEntry> = {
    ...mapped(entry, ({ date, ...others }): DatedEntry => ({
      ...Object.fromEntries(Object.entries(others).filter(([, value]) => value !== null)), date: typeof date === "string" ? date : "",
    })),
  };
  return withDefault(listField(about, {
    ...dated,
    read: (value, where, findings) => {
      const before = findings.problems.length;
      const read = dated.read(value, where, findings);
      const says = Object.keys(read).some((key) => key !== "date" && key !== "about");
      if (!says && findings.problems.length === before) findings.problems.push({ where, expected: "something beside the day", got: "a day alone" });
      return read;
    },
  }), []);
}

function dayField(about: string): Field<string> {
  return {
    about,
    hole: "",
    schema: { description: `${about}, such as "2026-05-02" or "2026-05-02 08:30"`, type: "string" },
    read: (value, where, findings) => {
      if (typeof value === "string" && timeStamp(value, "year-month-day") !== null) return value;
      findings.problems.push({ where, expected: 'a day such as "2026-05-02", or "2026-05-02 08:30"', got: describe(value) });
      return "";
    },
  };
}

function asWritten(about: string, schema: JsonSchema): Field<unknown> {
  return {
    about, hole: null, schema: { ...schema, description: about },
    read: (value, where, findings) => copiedValue(value, where, 1, findings),
  };
}
