import { designStormAt } from "../rain/designStorm.ts";
import { recordOptions } from "../rain/recordOptions.ts";
import { unheardOf } from "../rain/worldsGreatest.ts";
import { describe } from "../units/describe.ts";
import { InputError } from "../units/problem.ts";
import { pathTo } from "../units/pathTo.ts";
import { copiedObject } from "./copiedObject.ts";
import { gathered, type Field, type Findings, type JsonSchema } from "./field.ts";
import { nameField } from "./scalarFields.ts";
import type { StormChoice } from "./site.ts";

/**
 * A named storm. Its options are checked here, by those who will make the storm (`designStorm`) or read the file it names
 * (`readRain`), and stay as they are written.
 */
export function stormField(): Field<StormChoice> {
  const about = "a storm by name: the options of designStorm, or the name of a file of rain";
  const name = nameField("name of the storm");
  return {
    about,
    hole: { name: "", options: {} },
    schema: {
      description: about,
      type: "object",
      properties: { name: name.schema, pattern: { type: "string" }, file: { type: "string" }, ...RECORD_SCHEMA },
      required: ["name"],
      oneOf: [{ required: ["pattern"] }, { required: ["file"] }],
    },
    read: (value, where, findings) => {
      if (typeof value !== "object" || value === null || Array.isArray(value)) {
        findings.problems.push({ where, expected: "an object { … }", got: describe(value) });
        return { name: "", options: {} };
      }
      const { name: given, ...written } = value as Record<string, unknown>;
      const read = name.read(given, pathTo(where, "name"), findings);
      const before = findings.problems.length;
      checkKind(written, where, findings);
      const options = copiedObject(written, where, 1, findings);
      if (findings.problems.length === before) gathered(findings, () => checkOptions(options, where));
      return { name: read, options };
    },
  };
}

function checkKind(options: Readonly<Record<string, unknown>>, where: string, findings: Findings): void {
  const kinds = ["pattern", "file"].filter((key) => Object.hasOwn(options, key) && options[key] !== undefined);
  if (kinds.length !== 1) {
    findings.problems.push({ where, expected: "exactly one of: pattern; file", got: kinds.length === 0 ? "none of them" : "pattern and file", code: kinds.length === 0 ? "missing" : "conflict" });
    return;
  }
  const kind = kinds[0]!;
  const text = options[kind];
  if (typeof text === "string" && text.trim() !== "") return;
  findings.problems.push({
    where: pathTo(where, kind),
    expected: kind === "file" ? "the name of a file of rain" : 'the name of a pattern such as "block" or "nrcs-ii"',
    got: describe(text),
  });
}

function checkOptions({ file, ...options }: Readonly<Record<string, unknown>>, where: string): void {
  if (file !== undefined) {
    recordOptions(options, where);
    return;
  }
  const { time, depth } = designStormAt(where, options);
  const fault = unheardOf(depth.reduce((sum, each) => sum + each, 0), time.at(-1)! - time[0]!);
  if (fault !== null) throw new InputError("The design storm cannot be made:", [{ where, ...fault }]);
}

/** What a record's header leaves open. An interval is an option of some patterns too. */
const RECORD_SCHEMA: JsonSchema = {
  time: { description: "a file's column of time", type: "string" },
  clock: { description: "a file's column of the time of day, where it stands apart", type: "string" },
  rain: { description: "a file's column of rain", type: "string" },
  unit: { description: "unit of a file's column of rain", type: "string" },
  kind: { description: "what a file's column of rain holds", enum: ["interval", "total", "intensity", "tip"] },
  stamp: { description: "the end of its interval that a file's stamp marks", enum: ["start", "end"] },
  interval: { description: "length of the intervals", allOf: [{ $ref: "#/definitions/time" }] },
  tip: { description: "depth of one tip of a file's bucket", allOf: [{ $ref: "#/definitions/length" }] },
  restarts: { description: "whether a file's counter restarts from 0 at times", type: "boolean" },
  largest: { description: "highest intensity that is believed of a file", allOf: [{ $ref: "#/definitions/speed" }] },
  dateOrder: { description: "order of a file's dates", enum: ["year-month-day", "month/day/year", "day/month/year"] },
  missing: { description: "words of a file that stand for no value", type: "array", items: { type: "string" }, minItems: 1 },
  decimalComma: { description: "whether 0,2 is a fifth in a file", type: "boolean" },
  separator: { description: "what parts a file's cells", enum: [",", ";", "\t"] },
};
