import { describe } from "../text/describe.ts";
import { pathTo } from "../text/pathTo.ts";
import type { Findings } from "./field.ts";

/**
 * A copy of options that others will read, as plain data.
 *
 * @param depth  how deep it lies in the options, 1 at their top
 */
export function copiedObject(
  given: Readonly<Record<string, unknown>>,
  where: string,
  depth: number,
  findings: Findings,
): Record<string, unknown> {
  const copy: Record<string, unknown> = {};
  for (const [key, value] of Object.entries(given)) {
    if (value === undefined) continue;
    // Assigned to, this key would change what the copy is instead of standing in it.
    if (key === "__proto__") findings.problems.push({ where: pathTo(where, key), expected: "another key", got: "__proto__" });
    else copy[key] = copiedValue(value, pathTo(where, key), depth, findings);
  }
  return copy;
}

/** Deeper than any option goes; without an end a copy of a file of brackets would overflow the stack. */
const DEEPEST = 8;

/** As `copiedObject`, of any value that JSON can hold. */
export function copiedValue(value: unknown, where: string, depth: number, findings: Findings): unknown {
  if (value === null || typeof value === "string" || typeof value === "boolean") return value;
  if (typeof value === "number" && Number.isFinite(value)) return value;
  if (typeof value === "object" && depth > DEEPEST) {
    findings.problems.push({ where, expected: `options nested no deeper than ${DEEPEST}`, got: "deeper ones" });
    return null;
  }
  if (Array.isArray(value)) {
    return Array.from<unknown, unknown>(value, (item, index) => copiedValue(item, `${where}[${index}]`, depth + 1, findings));
  }
  if (typeof value === "object") return copiedObject(value as Record<string, unknown>, where, depth + 1, findings);
  findings.problems.push({ where, expected: "a value that JSON can hold", got: describe(value) });
  return null;
}
