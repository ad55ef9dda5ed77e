import { dirname, resolve } from "node:path";
import { UserFault } from "../node/userFault.ts";
import { failedPitPart } from "../report/failedPitPart.ts";
import { fillTestPart } from "../report/fillTestPart.ts";
import type { PagePart } from "../report/pagePart.ts";
import { studyPage } from "../report/studyPage.ts";
import { parseJson } from "../site/parseJson.ts";
import type { Site } from "../site/site.ts";
import { failedPit } from "../study/failedPit.ts";
import { fillTest, type FillTestOptions } from "../study/fillTest.ts";
import type { FailedPitOptions } from "../study/pitLog.ts";
import { describe } from "../units/describe.ts";
import { InputError, type Problem } from "../units/problem.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { readText, writeWhole } from "./files.ts";
import { plotlySource } from "../node/plotlySource.ts";
import { reportPath } from "./reportPaths.ts";
import { siteWithRain } from "./siteWithRain.ts";

/** What dips can be asked: of finished works filled by a hose, or of works that do not do what they should. */
export type DipQuestion = "filled" | "failed";

const ANSWERS: Readonly<Record<DipQuestion, (site: Site, asked: Readonly<Record<string, unknown>>) => PagePart>> = {
  filled: (site, asked) => fillTestPart(site, fillTest(site, asked as unknown as FillTestOptions)),
  failed: (site, asked) => failedPitPart(failedPit(site, asked as unknown as FailedPitOptions)),
};

/**
 * Answers what dips tell of a site: the answer to the terminal, a page beside it.
 *
 * @param words   a site file, and a file of JSON with what was done and read: the options of `fillTest` or of `failedPit`; in
 *                place of `dips` it may name a table by `file`
 * @returns       the exit status: 1 when there is no answer
 */
export async function runDips(question: DipQuestion, words: readonly string[], folder: string, console: Console): Promise<number> {
  const [sitePath, dipPath, ...rest] = words;
  if (sitePath === undefined || dipPath === undefined || rest.length > 0) {
    console.err(`${question}: expected a site file and a file of what was read, got ${words.length === 0 ? "nothing" : words.map(describe).join(", ")}\n`);
    return 1;
  }
  try {
    const site = await siteWithRain(sitePath);
    const part = answered(question, site, await readAsked(dipPath), dipPath);
    const page = reportPath(sitePath, folder, `-${question}`);
    await writeWhole(page, studyPage(site, [part], { plotly: plotlySource() }));
    console.out(`${part.answer}\n${page}\n`);
    return 0;
  } catch (error) {
    console.err(`${faultText(sitePath, error)}\n`);
    return 1;
  }
}

function answered(question: DipQuestion, site: Site, asked: Readonly<Record<string, unknown>>, path: string): PagePart {
  try {
    return ANSWERS[question](site, asked);
  } catch (error) {
    if (error instanceof InputError) throw new UserFault(`${path}: ${error.message}`);
    throw error;
  }
}

async function readAsked(path: string): Promise<Readonly<Record<string, unknown>>> {
  const problems: Problem[] = [];
  const asked = parseJson(await readText(path), problems);
  if (problems.length > 0) throw new UserFault(`${path}: ${new InputError("What was read cannot be used:", problems).message}`);
  if (typeof asked !== "object" || asked === null || Array.isArray(asked)) throw new UserFault(`${path}: expected an object { … }, got ${describe(asked)}`);
  const { file, ...others } = asked as Readonly<Record<string, unknown>>;
  if (file === undefined) return others;
  if (typeof file !== "string") throw new UserFault(`${path}: file: expected the name of a table of dips, got ${describe(file)}`);
  return { ...others, dips: await readText(resolve(dirname(path), file)) };
}
