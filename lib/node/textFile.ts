import { readFile, stat } from "node:fs/promises";
import { fileFault, specialFault } from "./fileFault.ts";

/** Larger than any file of a site or of dips [bytes]; a record of rain is read piece by piece and may have any size. */
const LARGEST = 100e6;

/**
 * The text of a file in UTF-8, without a byte order mark, or what the file is instead, in the words of the `got` side of an error.
 * What may never end, a device or a pipe, is not opened.
 */
export async function readTextFile(file: string | URL): Promise<{ readonly text: string } | { readonly got: string }> {
  try {
    const stats = await stat(file);
    const special = specialFault(stats);
    if (special !== null) return { got: special };
    if (stats.size > LARGEST) return { got: `one of ${Math.round(stats.size / 1e6)} MB, where ${LARGEST / 1e6} MB are the most` };
    return decoded(await readFile(file));
  } catch (error) {
    return { got: fileFault(error) };
  }
}

/**
 * The text of bytes, or which other way of writing text they are in.
 *
 * @example decoded(new Uint8Array([0xff, 0xfe, 0x7b, 0])); // => { got: "text in UTF-16; save it as UTF-8" }
 */
export function decoded(bytes: Uint8Array): { readonly text: string } | { readonly got: string } {
  const [first, second] = bytes;
  const isMarked = (first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff);
  if (isMarked || ((first === 0) !== (second === 0) && bytes.length > 1)) return { got: "text in UTF-16; save it as UTF-8" };
  if (bytes.includes(0)) return { got: "bytes that are no text" };
  try {
    return { text: new TextDecoder("utf-8", { fatal: true }).decode(bytes) };
  } catch {
    return { got: "text in Latin-1 or another old way of writing; save it as UTF-8" };
  }
}
