import { createReadStream } from "node:fs";
import { readRain, type RainRecord } from "../rain/readRain.ts";
import type { RecordOptions } from "../rain/recordOptions.ts";
import { InputError } from "../units/problem.ts";
import { fileFault, unreadable } from "./fileFault.ts";

/**
 * A record of rain from a CSV file of any size, read piece by piece; see `readRain` for what it may look like and what is
 * reported of its lines.
 *
 * @param file     path or URL, UTF-8
 * @param options  what the header does not say
 * @throws InputError  as `readRain`, with the file's name, and when the file cannot be read
 */
export async function readRainFile(file: string | URL, options: RecordOptions = {}): Promise<RainRecord> {
  const lost = (got: string): InputError => new InputError("The rain record cannot be read:", [{ where: String(file), expected: "a file", got }]);
  const fault = await unreadable(file);
  if (fault !== null) throw lost(fault);
  try {
    return await readRain(createReadStream(file, "utf8") as AsyncIterable<string>, options);
  } catch (cause) {
    if (cause instanceof InputError) throw new InputError(`${String(file)}: ${cause.message.split("\n")[0]}`, cause.problems);
    throw lost(fileFault(cause));
  }
}
