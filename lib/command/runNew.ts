import { existsSync } from "node:fs";
import { join } from "node:path";
import { greatestOf } from "../numerics/extremes.ts";
import { frequencyCsv } from "../rain/storms/frequencyCsv.ts";
import { newProgram } from "../node/pageProgram.ts";
import { UserFault } from "../node/userFault.ts";
import { parseJson } from "../schema/parseJson.ts";
import { readSite, SiteError } from "../site/readSite.ts";
import { surveyPoints } from "../site/surveyField.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { fileName, fileText, notesIn, notesName, notesText } from "../yard/fileKeys.ts";
import { firstAnswers } from "../yard/firstAnswers.ts";
import { holeVerdict } from "../yard/holeVerdict.ts";
import { newPage } from "../yard/newPage.ts";
import { proposeWorks } from "../yard/proposeWorks.ts";
import { tableWords } from "../yard/tableWords.ts";
import { answersOf, questions, readAnswers, type Answers, type Question } from "../yard/questions.ts";
import { yardOf, type Told } from "../yard/yard.ts";
import type { SiteJson } from "../yard/yardFile.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { readText, writeWhole, type Written } from "./files.ts";

/**
 * Asks a new yard out of a person, question by question, tells the first answers and writes the site file; and writes the page that
 * asks the same without a terminal. A file that it made before is asked on from: an empty line keeps what it says. Where no works can
 * be proposed the answers are kept as notes, which it can go on from as well.
 *
 * @param program  of the page, the built one where missing
 * @returns  the exit status: 1 where the page or the file could not be written, or the levels do not fit
 */
export async function runNew(
  words: readonly string[],
  folder: string,
  console: Console,
  program: (isWasm: boolean) => string = newProgram,
): Promise<number> {
  if (words.length > 1) {
    console.err(`new: expected one site file at most, got ${words.length}\n`);
    return 1;
  }
  const page = join(folder, "new.html");
  try {
    await writeWhole(page, newPage({ program: program(true), isWasm: true }));
    const { answers: before, isSite } = words[0] === undefined ? { answers: {}, isSite: false } : await answersIn(words[0]);
    console.out(
      `The same without a terminal, for a phone: ${page}\nAn empty line leaves a question open; what is not known is taken and named.\n\n`,
    );
    const lines = (console.lines?.() ?? noLines())[Symbol.asyncIterator]();
    const answers = await ask(before, console, lines);
    // an open terminal would keep the process waiting
    await lines.return?.();
    if (answers === null) {
      console.out(`${page}\n`);
      return 0;
    }
    return await tell(answers, folder, page, isSite ? words[0]! : null, console);
  } catch (error) {
    console.err(`${faultText(words[0] ?? page, error)}\n`);
    return 1;
  }
}

async function answersIn(path: string): Promise<{ readonly answers: Answers; readonly isSite: boolean }> {
  const problems: Problem[] = [];
  const text = await readText(path);
  const json = parseJson(text, problems) as SiteJson;
  if (problems.length > 0) throw new SiteError(problems);
  const notes = notesIn(json);
  if (notes !== null) return { answers: notes, isSite: false };
  readSite(json);
  if (json["survey"] === undefined)
    throw new UserFault(`${path}: expected a file with a "survey", as "soakstep new" writes it, got one without`, "missing");
  const answers = answersOf({ name: String(json["name"]), region: String(json["region"]), survey: json["survey"] } as Told);
  return { answers, isSite: true };
}

async function tell(answers: Answers, folder: string, page: string, from: string | null, console: Console): Promise<number> {
  const { told, lacking, problems, waiting } = readAnswers(answers);
  if (told === null) {
    const words = [...lacking, ...Object.values({ ...waiting, ...problems })].join("; ");
    console.err(`new: expected ${words}, got nothing\n`);
    return keepNotes(answers, folder, page, console);
  }
  const yard = yardOf(told);
  const proposal = await proposeWorks(yard);
  const { answers: six, sharpeners } = await firstAnswers(proposal);
  console.out(`\n${yard.book.note}\n`);
  for (const { question, answer, band } of six) console.out(`\n${question}\n${wrapped(answer)}${band === "" ? "" : wrapped(band)}`);
  const further = sharpeners.map(({ fact, words, how }) => `${fact}: ${words}.${how === "" ? "" : ` ${how}`}`);
  if (further.length > 0) console.out(`\nWhat each further fact would sharpen\n${further.map(wrapped).join("")}`);
  const behind = six.flatMap(({ more }) => more);
  if (behind.length > 0) console.out(`\nWhat stands behind these answers\n${behind.map(wrapped).join("")}`);
  if (proposal.kind === "impossible") {
    console.err("\nnew: no site file is written before the levels fit\n");
    return keepNotes(answers, folder, page, console);
  }
  const file: Written = { path: from ?? freePath(folder, fileName(proposal.file)), text: fileText(proposal.file) };
  await writeWhole(file.path, file.text);
  console.out(`\n${page}\n${file.path}\n`);
  return 0;
}

/** The answers are not lost if no site file can be made of them. */
async function keepNotes(answers: Answers, folder: string, page: string, console: Console): Promise<number> {
  const notes = freePath(folder, notesName(answers));
  await writeWhole(notes, notesText(answers));
  console.err(`What was told is kept as notes; soakstep new ${notes} goes on from them.\n${page}\n${notes}\n`);
  return 1;
}

/** A name that no file has yet. */
function freePath(folder: string, name: string): string {
  const stem = name.replace(/\.json$/, "");
  for (let n = 1; ; n++) {
    const path = join(folder, `${stem}${n === 1 ? "" : `-${n}`}.json`);
    if (!existsSync(path)) return path;
  }
}

function wrapped(text: string): string {
  const lines: string[] = [];
  for (const word of text.split(" ")) {
    const line = lines.at(-1);
    if (line !== undefined && line.length + word.length < 100) lines[lines.length - 1] = `${line} ${word}`;
    else lines.push(`  ${word}`);
  }
  return `${lines.join("\n")}\n`;
}

async function* noLines(): AsyncGenerator<string> {}

/** Null where nobody answers at all. */
async function ask(before: Answers, console: Console, lines: AsyncIterator<string>): Promise<Answers | null> {
  const answers: Record<string, string> = { ...before };
  let isOpen = true;
  const next = async (): Promise<string | null> => {
    if (!isOpen) return null;
    const line = await lines.next();
    if (line.done === true) isOpen = false;
    return line.done === true ? null : line.value.trim();
  };

  /** One question until its answer can be read; what is unlikely is asked back. False at the end of the input. */
  async function one(key: string, words: string, hint: string, unit: string): Promise<boolean> {
    const old = answers[key];
    const oldTable = answers["rain table"];
    for (;;) {
      console.out(
        `${words}${hint === "" ? "" : ` (${hint})`}${old === undefined || old === "" ? "" : ` [${old.replace(/^=/, "")}]`}${unit === "" ? "" : ` ${unit}`}: `,
      );
      const line = await next();
      if (line === null) return false;
      if (line === "") return true;
      if (key === "rain") {
        delete answers["rain table"];
        if (/\.csv$/i.test(line)) {
          const said = await townTable(line);
          console.out(`  ${said}\n`);
          if (answers["rain table"] === undefined) {
            restore("rain table", oldTable);
            continue;
          }
          delete answers["rain"];
          return true;
        }
      }
      answers[key] = line;
      const read = readAnswers(answers);
      const problem = read.problems[key];
      if (problem !== undefined) {
        console.out(`  ${problem}\n`);
        restore(key, old);
        if (key === "rain") restore("rain table", oldTable);
        continue;
      }
      const doubt = read.asks[key];
      if (doubt === undefined) return true;
      console.out(`  ${doubt} y/n: `);
      const sure = await next();
      if (sure !== null && /^y/i.test(sure)) {
        answers[key] = `=${line}`;
        return true;
      }
      restore(key, old);
      if (sure === null) return false;
    }
  }

  /** The town's table from a file, kept where it can be used; what it says, or what is wrong with it. */
  async function townTable(path: string): Promise<string> {
    try {
      answers["rain table"] = JSON.stringify(frequencyCsv(await readText(path)).table);
      const { problems, draft, units } = readAnswers({ ...answers, rain: "" });
      if (problems["rain"] === undefined) return tableWords(draft["rainfall"], units);
      delete answers["rain table"];
      return problems["rain"];
    } catch (error) {
      if (!(error instanceof InputError) && !(error instanceof UserFault)) throw error;
      return error.message;
    }
  }

  function restore(key: string, old: string | undefined): void {
    if (old === undefined) delete answers[key];
    else answers[key] = old;
  }

  const isAsked = ({ key }: Question): boolean => {
    const isRead = (point: string): boolean =>
      Object.keys(answers).some((each) => each.replace(/^reading \d+ /, "") === point && answers[each] !== "");
    if (key === "lidToLowPoint") return isRead("low point");
    return key !== "pitToLid" || isRead("lid");
  };
  let any = false;
  for (const question of questions) {
    if (!isAsked(question)) continue;
    const { units } = readAnswers(answers);
    const choices =
      question.choices === null || question.key === "groundwater"
        ? question.hint(units)
        : `${question.choices.map((each, i) => (question.key === "wanted" ? `${i + 1} ${each}` : each)).join(", ")}`;
    if (!(await one(question.key, question.asks, choices, question.unit?.(units) ?? ""))) return any ? answers : null;
    any = true;
    if (question.key === `reading 1 ${surveyPoints.at(-1)!}` && !(await moreReadings())) return answers;
    if (question.key === "soil" && !(await hole())) return answers;
    if (question.key === "houseToPit" && !(await tape())) return answers;
  }
  return answers;

  /** Further readings, a line each: `benchmark 4.22`, and `moved` where the instrument was. */
  async function moreReadings(): Promise<boolean> {
    let place = greatestOf([1, ...Object.keys(answers).map((key) => Number(/^reading (\d+) /.exec(key)?.[1] ?? 1))]);
    for (;;) {
      console.out(`Any further reading from place ${place}, such as "benchmark 4.22"? "moved" where the instrument was moved: `);
      const line = await next();
      if (line === null) return false;
      if (line === "") return true;
      if (/^moved?$/i.test(line)) {
        place++;
        continue;
      }
      const match = /^(.+?) +(=?-?[\d.,].*)$/.exec(line);
      if (match === null) {
        console.out(`  expected a point and its reading such as lid 5.12, "moved", or an empty line\n`);
        continue;
      }
      let key = `reading ${place} ${match[1]!.toLowerCase()}`;
      while (answers[key] !== undefined) key += " again";
      answers[key] = match[2]!;
      const problem = readAnswers(answers).problems[key];
      if (problem === undefined) continue;
      console.out(`  ${problem}\n`);
      delete answers[key];
    }
  }

  async function tape(): Promise<boolean> {
    const { units } = readAnswers(answers);
    const unit = units === "us" ? "ft" : "m";
    if (!(await one("tape corners", "By tape from two corners of the house: from A to B?", "empty where it was not", unit))) return false;
    if ((answers["tape corners"] ?? "") === "") return true;
    for (const point of ["box", "pit", "lid"])
      for (const corner of ["A", "B"])
        if (!(await one(`tape ${corner} ${point}`, `From ${corner} to the ${point}?`, "", unit))) return false;
    return true;
  }

  async function hole(): Promise<boolean> {
    const soil = answers["soil"] ?? "";
    const isTest = /^test/.test(soil);
    if (!isTest && !/min|mpi/i.test(soil)) return true;
    const { units } = readAnswers({ ...answers, soil: "" });
    const unit = units === "us" ? "in" : "cm";
    for (const [key, words] of [
      ["hole diameter", "Across the hole?"],
      isTest ? ["hole bottom", "From the tape's mark down to its bottom?"] : ["hole water", "Depth of water in it?"],
    ] as const)
      if (!(await one(key, words, "", unit))) return false;
    for (let fill = 1; isTest; fill++) {
      if (
        !(await one(
          `fill ${fill}`,
          `Fill ${fill}, the watch and the tape down to the water?`,
          `8:15 11 1/2; 8:45 13; 9:15 14 1/4${fill > 1 ? "; empty where there was none" : ""}`,
          unit,
        ))
      )
        return false;
      if ((answers[`fill ${fill}`] ?? "") === "") return true;
      const test = (readAnswers(answers).draft["soil"] as { readonly test?: Parameters<typeof holeVerdict>[0] } | undefined)?.test;
      if (test === undefined) continue;
      try {
        const { words, isEnough } = holeVerdict(test, units);
        console.out(`  ${words}\n`);
        if (isEnough) return true;
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
        console.out(`  ${error.problems.map(({ expected, got }) => `expected ${expected}, got ${got}`).join("; ")}\n`);
        delete answers[`fill ${fill--}`];
      }
    }
    return true;
  }
}
