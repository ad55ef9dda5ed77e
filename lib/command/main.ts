#!/usr/bin/env node
import { command } from "./command.ts";

process.exitCode = await command(process.argv.slice(2), "out", {
  out: (text) => process.stdout.write(text),
  err: (text) => process.stderr.write(text),
});
