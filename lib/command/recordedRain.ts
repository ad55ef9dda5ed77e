import { hyetograph, type Hyetograph } from "../rain/hyetograph.ts";
import { unheardOf } from "../rain/storms/worldsGreatest.ts";
import { describe } from "../text/describe.ts";
import { InputError, type Problem } from "../text/problem.ts";

/**
 * Rain from a record of breakpoints: `hours` that rise and as many cumulative depths, `cumulative_in` or
 * `cumulative_mm`, that do not fall; the rain begins at the first.
 *
 * @throws InputError  with all problems
 */
export function recordedRain(content: unknown): Hyetograph {
  const record = typeof content === "object" && content !== null ? (content as Record<string, unknown>) : {};
  const problems: Problem[] = [];
  const hours = numbers(record, "hours", "rising hours", problems);
  const keys = ["cumulative_in", "cumulative_mm"].filter((key) => key in record);
  if (keys.length !== 1) problems.push({ where: "cumulative_in", expected: "either cumulative_in or cumulative_mm", got: keys.length === 0 ? "neither" : "both" });
  const key = keys[0] ?? "cumulative_in";
  const fallen = keys.length === 1 ? numbers(record, key, "cumulative depths", problems) : [];
  if (problems.length === 0 && (hours.length < 2 || hours.length !== fallen.length)) {
    problems.push({ where: "hours", expected: `two or more, and as many as ${key}`, got: `${hours.length} hours and ${fallen.length} depths` });
  }
  for (let i = 1; i < hours.length; i++) {
    if (!(hours[i]! > hours[i - 1]!)) problems.push({ where: `hours[${i}]`, expected: `more than ${hours[i - 1]!}`, got: String(hours[i]) });
  }
  for (let i = 1; i < fallen.length; i++) {
    if (!(fallen[i]! >= fallen[i - 1]!)) problems.push({ where: `${key}[${i}]`, expected: `${fallen[i - 1]!} or more`, got: String(fallen[i]) });
  }
  const time = hours.map((hour) => (hour - hours[0]!) * 3600);
  const depth = fallen.slice(1).map((by, i) => (key === "cumulative_in" ? ((by - fallen[i]!) * 254) / 10000 : (by - fallen[i]!) / 1000));
  if (problems.length === 0) {
    depth.forEach((each, i) => {
      const fault = unheardOf(each, time[i + 1]! - time[i]!);
      if (fault !== null) problems.push({ where: `${key}[${i + 1}]`, ...fault });
    });
  }
  if (problems.length > 0) throw new InputError("The rain cannot be used:", problems);
  return hyetograph({ time, depth });
}

function numbers(record: Readonly<Record<string, unknown>>, key: string, what: string, problems: Problem[]): number[] {
  const list = record[key];
  if (!Array.isArray(list)) {
    problems.push({ where: key, expected: `a list of ${what}`, got: describe(list) });
    return [];
  }
  const wrong = list.findIndex((value) => typeof value !== "number" || !Number.isFinite(value));
  if (wrong < 0) return list as number[];
  problems.push({ where: `${key}[${wrong}]`, expected: "a number", got: describe(list[wrong]) });
  return [];
}
