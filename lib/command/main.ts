#!/usr/bin/env node
import { command } from "./command.ts";

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
