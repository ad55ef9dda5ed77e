#!/usr/bin/env node
import { command } from "./command.ts";

// who reads what is written may have gone, as in `soakstep … | head`: what is left has nobody to read it
for (const stream of [process.stdout, process.stderr]) {
  stream.on("error", (error: NodeJS.ErrnoException) => {
    if (error.code !== "EPIPE") throw error;
    process.exit(1);
  });
}

process.exitCode = await command(process.argv.slice(2), "out", {
  out: (text) => process.stdout.write(text),
  err: (text) => process.stderr.write(text),
  isTerminal: process.stderr.isTTY,
}, stopOnInterrupt);

/** Ctrl-C once stops a study and keeps what is made; a second one ends the process at once. */
function stopOnInterrupt(): AbortSignal {
  const stop = new AbortController();
  process.once("SIGINT", () => {
    stop.abort();
  });
  return stop.signal;
}
