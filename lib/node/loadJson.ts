import { InputError } from "../text/problem.ts";
import { readTextFile } from "./textFile.ts";

/**
 * Parsed JSON of a file: a site file, a storm file.
 *
 * @param file  path, or URL such as `new URL("../data/linden-row.json", import.meta.url)`
 * @throws InputError  when the file cannot be read or is not JSON
 */
export async function loadJson(file: string | URL): Promise<unknown> {
  const read = await readTextFile(file);
  if ("got" in read) throw new InputError("The file cannot be loaded:", [{ where: String(file), expected: "a file that can be read", got: read.got, code: read.code }]);
  try {
    return JSON.parse(read.text) as unknown;
  } catch (cause) {
    throw new InputError("The file cannot be loaded:", [{ where: String(file), expected: "JSON", got: (cause as Error).message, code: "syntax" }]);
  }
}
