import { parseArgs } from "node:util";
import { libraryVersion } from "../node/thisBuild.ts";
import { stepperWords } from "../simulate/kernel.ts";
import type { Console } from "./console.ts";
import { demoSites } from "./demoSites.ts";
import { exists } from "./files.ts";
import { help } from "./help.ts";
import { runDay } from "./runDay.ts";
import { runDips } from "./runDips.ts";
import { runSheets } from "./runSheets.ts";
import { runSites } from "./runSites.ts";
import { runStudies } from "./runStudies.ts";
import type { StudyName } from "./studies.ts";

/**
 * What `npm start` does: reads the words it was given and does what they ask for.
 *
 * @param words   of the command line, without node and the script
 * @param folder  for what it writes
 * @param stop    makes the signal that stops what takes long
 * @returns       the exit status: 0, or 1 when something could not be done
 */
export async function command(
  words: readonly string[], folder: string, console: Console, stop: () => AbortSignal = () => new AbortController().signal,
): Promise<number> {
  const read = readWords(words);
  if ("problem" in read) {
    console.err(`${read.problem}\n`);
    return 1;
  }
  const [first, ...rest] = read.words;
  if (read.help) return tell(console);
  if (read.version) return tellVersion(console);
  const chosen = first === undefined || (await exists(first)) ? undefined : COMMANDS.get(first);
  if (chosen !== undefined) return chosen(rest, folder, console, stop);
  return runSites(read.words.length === 0 ? await demoSites() : read.words, folder, console, !read.noWasm);
}

/** The words that are commands where no file has the same name. */
const COMMANDS: ReadonlyMap<string, Command> = new Map<string, Command>([
  ["help", (_words, _folder, console) => Promise.resolve(tell(console))],
  ["sheets", (words, folder, console) => runSheets(words, folder, console)],
  ["filled", (words, folder, console) => runDips("filled", words, folder, console)],
  ["failed", (words, folder, console) => runDips("failed", words, folder, console)],
  ["day", (words, folder, console) => runDay(words, folder, console)],
  ["decide", study("all")],
  ["size", study(["size"])],
  ["sweep", study(["sweep"])],
  ["sure", study(["sure"])],
  ["often", study(["often"])],
]);

type Command = (words: readonly string[], folder: string, console: Console, stop: () => AbortSignal) => Promise<number>;

function study(names: readonly StudyName[] | "all"): Command {
  return (words, folder, console, stop) => runStudies(names, words, folder, console, stop);
}

function tell(console: Console): number {
  console.out(help);
  return 0;
}

function tellVersion(console: Console): number {
  console.out(`soakstep ${libraryVersion()}, ${stepperWords()}\n`);
  return 0;
}

type Words =
  | { readonly words: string[]; readonly help: boolean; readonly version: boolean; readonly noWasm: boolean }
  | { readonly problem: string };

function readWords(words: readonly string[]): Words {
  try {
    const { values, positionals } = parseArgs({ args: [...words], options: OPTIONS, allowPositionals: true });
    return { words: positionals, help: values.help === true, version: values.version === true, noWasm: values["no-wasm"] === true };
  } catch {
    const option = words.find((word) => word.startsWith("-") && word !== "--") ?? "";
    return { problem: `command line: expected site files, --no-wasm, --version or --help, got ${JSON.stringify(option)}` };
  }
}

const OPTIONS = {
  "help": { type: "boolean", short: "h" }, "version": { type: "boolean" }, "no-wasm": { type: "boolean" },
} as const;
