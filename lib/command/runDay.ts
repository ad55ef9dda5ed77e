import { basename } from "node:path";
import { readRainFile } from "../node/readRainFile.ts";
import { UserFault } from "../node/userFault.ts";
import { dayPart } from "../report/dayPart.ts";
import { studyPage } from "../report/studyPage.ts";
import { parseJson } from "../schema/parseJson.ts";
import { thatDay, type ThatDayOptions } from "../study/thatDay.ts";
import { describe } from "../text/describe.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { besideFile, namedFile, type Beside } from "./beside.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { readText, writeWhole } from "./files.ts";
import { reportPath } from "./reportPaths.ts";
import { siteWithRain } from "./siteWithRain.ts";

/**
 * Answers whether the lid should have run on a day: the answer to the terminal, a page beside it.
 *
 * @param words  a site file, and a file of JSON that says what is known of the day: options of `thatDay`, in place of `record` a `file`
 *               of rain beside it, with the options of `readRain` in `reading`; or a gauge's CSV, and the date
 * @returns      the exit status: 1 when there is no answer
 */
export async function runDay(
  words: readonly string[], folder: string, console: Console, { allowOutside }: { readonly allowOutside: boolean },
): Promise<number> {
  const [sitePath, dayPath, date, ...rest] = words;
  const isGauge = dayPath?.toLowerCase().endsWith(".csv") === true;
  if (sitePath === undefined || dayPath === undefined || (date !== undefined && !isGauge) || rest.length > 0) {
    console.err(`day: expected a site file and a file of what is known of the day, or a gauge's CSV and a date, got ${words.length === 0 ? "nothing" : words.map(describe).join(", ")}\n`);
    return 1;
  }
  try {
    const site = await siteWithRain(sitePath, besideFile(sitePath, allowOutside));
    try {
      const asked = isGauge ? { file: basename(dayPath), ...(date !== undefined && { date }) } : await readAsked(dayPath);
      const { options, notes } = await readDay(dayPath, asked, besideFile(dayPath, allowOutside));
      const part = dayPart(thatDay(site, options), notes);
      const page = reportPath(sitePath, folder, "-day");
      await writeWhole(page, studyPage(site, [part]));
      console.out(`${part.answer}\n${page}\n`);
      return 0;
    } catch (error) {
      if (error instanceof InputError) throw new UserFault(`${dayPath}: ${error.message}`);
      throw error;
    }
  } catch (error) {
    console.err(`${faultText(sitePath, error)}\n`);
    return 1;
  }
}

async function readAsked(path: string): Promise<Readonly<Record<string, unknown>>> {
  const problems: Problem[] = [];
  const asked = parseJson(await readText(path), problems);
  if (problems.length > 0) throw new InputError("The day cannot be looked at:", problems);
  if (typeof asked !== "object" || asked === null || Array.isArray(asked)) throw new UserFault(`${path}: expected an object { … }, got ${describe(asked)}`);
  return asked as Readonly<Record<string, unknown>>;
}

async function readDay(
  path: string, asked: Readonly<Record<string, unknown>>, beside: Beside,
): Promise<{ readonly options: ThatDayOptions; readonly notes: readonly string[] }> {
  const { file, reading, ...others } = asked;
  if (file === undefined) return { options: others, notes: [] };
  if (typeof file !== "string") throw new UserFault(`${path}: file: expected the name of a file of rain, got ${describe(file)}`);
  const record = await readRainFile(await namedFile(path, file, beside), (reading ?? {}));
  return { options: { ...others, record }, notes: record.notes.map((note) => `${file}: ${note}`) };
}
