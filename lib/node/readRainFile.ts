import { createReadStream } from "node:fs";
import { readRain, type RainRecord } from "../rain/record/readRain.ts";
import type { RecordOptions } from "../rain/record/recordOptions.ts";
import { InputError } from "../text/problem.ts";
import { fileFault, unreadable } from "./fileFault.ts";
import { textDecoder, type NoText } from "./textFile.ts";

/**
 * A record of rain from a CSV file of any size, read piece by piece; see `readRain` for what it may look like and what is
 * reported of its lines.
 *
 * @param file     path or URL, UTF-8
 * @param options  what the header does not say
 * @throws InputError  as `readRain`, with the file's name, and when the file cannot be read or is not in UTF-8
 */
export async function readRainFile(file: string | URL, options: RecordOptions = {}): Promise<RainRecord> {
  const lost = ({ got, code }: NoText): InputError => (
    new InputError("The rain record cannot be read:", [{ where: String(file), expected: "a file", got, code }]));
  const fault = await unreadable(file);
  if (fault !== null) throw lost({ got: fault, code: "file" });
  try {
    return await readRain(piecesOf(file, lost), options);
  } catch (cause) {
    if (!(cause instanceof InputError)) throw lost({ got: fileFault(cause), code: "file" });
    // what is wrong with the file itself names it already
    if (cause.problems.some(({ where }) => where === String(file))) throw cause;
    throw new InputError(`${String(file)}: ${cause.message.split("\n")[0]}`, cause.problems);
  }
}

/** The text of a file, piece by piece. */
async function* piecesOf(file: string | URL, lost: (fault: NoText) => InputError): AsyncGenerator<string> {
  const decode = textDecoder();
  const read = (bytes: Uint8Array, isLast: boolean): string => {
    const piece = decode(bytes, isLast);
    if ("got" in piece) throw lost(piece);
    return piece.text;
  };
  for await (const bytes of createReadStream(file)) yield read(bytes as Uint8Array, false);
  yield read(new Uint8Array(), true);
}
