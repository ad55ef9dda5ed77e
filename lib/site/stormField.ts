import { designStormAt } from "../rain/storms/designStorm.ts";
import { recordOptions } from "../rain/record/recordOptions.ts";
import { unheardOf } from "../rain/storms/worldsGreatest.ts";
import { describe } from "../text/describe.ts";
import { InputError } from "../text/problem.ts";
import { pathTo } from "../text/pathTo.ts";
import { copiedObject } from "../schema/copiedObject.ts";
import { gathered, type Field, type Findings } from "../schema/field.ts";
import { nameField } from "../schema/scalarFields.ts";
import type { StormChoice } from "./site.ts";
import { stormSchema } from "./stormSchema.ts";

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
    schema: stormSchema(about, { name: name.schema }),
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
