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
 *               of rain beside it, with the options of `readRain` in `reading`
 * @returns      the exit status: 1 when there is no answer
 */
export async function runDay(
  words: readonly string[], folder: string, console: Console, { allowOutside }: { readonly allowOutside: boolean },
): Promise<number> {
  const [sitePath, dayPath, ...rest] = words;
  if (sitePath === undefined || dayPath === undefined || rest.length > 0) {
    console.err(`day: expected a site file and a file of what is known of the day, got ${words.length === 0 ? "nothing" : words.map(describe).join(", ")}\n`);
    return 1;
  }
  try {
    const site = await siteWithRain(sitePath, besideFile(sitePath, allowOutside));
    try {
      const { options, notes } = await readDay(dayPath, besideFile(dayPath, allowOutside));
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

async function readDay(path: string, beside: Beside): Promise<{ readonly options: ThatDayOptions; readonly notes: readonly string[] }> {
  const problems: Problem[] = [];
  const asked = parseJson(await readText(path), problems);
  if (problems.length > 0) throw new InputError("The day cannot be looked at:", problems);
  if (typeof asked !== "object" || asked === null || Array.isArray(asked)) throw new UserFault(`${path}: expected an object { … }, got ${describe(asked)}`);
  const { file, reading, ...others } = asked as Readonly<Record<string, unknown>>;
  if (file === undefined) return { options: others, notes: [] };
  if (typeof file !== "string") throw new UserFault(`${path}: file: expected the name of a file of rain, got ${describe(file)}`);
  const record = await readRainFile(await namedFile(path, file, beside), (reading ?? {}));
  return { options: { ...others, record }, notes: record.notes.map((note) => `${file}: ${note}`) };
}
