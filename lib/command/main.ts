#!/usr/bin/env node
import { createInterface } from "node:readline";
import { fileFault } from "../node/fileFault.ts";
import { command } from "./command.ts";

for (const stream of [process.stdout, process.stderr]) {
  stream.on("error", (error: NodeJS.ErrnoException) => {
    // who reads what is written may have gone, as in `soakstep … | head`: what is left has nobody to read it
    if (error.code !== "EPIPE" && stream !== process.stderr) {
      process.stderr.write(`standard output: expected a place to write the answers, got ${fileFault(error)}\n`);
    }
    process.exit(1);
  });
}

process.exitCode = await command(process.argv.slice(2), "out", {
  out: (text) => process.stdout.write(text),
  err: (text) => process.stderr.write(text),
  isTerminal: process.stderr.isTTY,
  lines: typedLines,
}, stopOnInterrupt);

/** What is typed, line by line; who has heard enough lets go of the terminal, which would keep the process alive otherwise. */
async function* typedLines(): AsyncGenerator<string> {
  const lines = createInterface({ input: process.stdin });
  try {
    yield* lines;
  } finally {
    lines.close();
  }
}

/** Ctrl-C once stops a study and keeps what is made; a second one ends the process at once. */
function stopOnInterrupt(): AbortSignal {
  const stop = new AbortController();
  process.once("SIGINT", () => {
    stop.abort();
  });
  return stop.signal;
}
