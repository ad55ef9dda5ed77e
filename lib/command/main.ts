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
  lines: () => createInterface({ input: process.stdin }),
}, stopOnInterrupt);

/** Ctrl-C once stops a study and keeps what is made; a second one ends the process at once. */
function stopOnInterrupt(): AbortSignal {
  const stop = new AbortController();
  process.once("SIGINT", () => {
    stop.abort();
  });
  return stop.signal;
}
