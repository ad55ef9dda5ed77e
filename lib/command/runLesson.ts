import { join } from "node:path";
import { pageProgram } from "../node/pageProgram.ts";
import { lessonPage } from "../report/lessonPage.ts";
import { lessonYears } from "../study/lesson.ts";
import { describe } from "../text/describe.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { writeWhole } from "./files.ts";
import { progress } from "./runSites.ts";

/**
 * Writes the lesson of the low point, a page of its own.
 *
 * @param words  none
 * @returns      the exit status
 */
export async function runLesson(
  words: readonly string[], folder: string, console: Console,
  { isWasm, isPlain }: { readonly isWasm: boolean; readonly isPlain: boolean },
): Promise<number> {
  if (words.length > 0) {
    console.err(`lesson: expected nothing behind it, since the lesson has a slope of its own, got ${describe(words[0])}\n`);
    return 1;
  }
  const page = join(folder, "lesson.html");
  try {
    progress(console)("lesson: a year of rain at every place");
    await writeWhole(page, lessonPage(lessonYears(), isPlain ? null : pageProgram("lesson", isWasm)));
  } catch (error) {
    console.err(`${faultText("lesson", error)}\n`);
    return 1;
  }
  console.out(`${page}\n`);
  return 0;
}
