import { readFile, stat } from "node:fs/promises";
import type { Problem } from "../text/problem.ts";
import { fileFault, specialFault } from "./fileFault.ts";

/** What a file is that has no text for its reader. */
export type NoText = Required<Pick<Problem, "got" | "code">>;

/** Larger than any file of a site or of dips [bytes]; a record of rain is read piece by piece and may have any size. */
const LARGEST = 100e6;

/**
 * The text of a file in UTF-8, without a byte order mark, or what the file is instead, in the words of the `got` side of an error.
 * What may never end, a device or a pipe, is not opened.
 */
export async function readTextFile(file: string | URL): Promise<{ readonly text: string } | NoText> {
  try {
    const stats = await stat(file);
    const special = specialFault(stats);
    if (special !== null) return { got: special, code: "file" };
    if (stats.size > LARGEST) return { got: `one of ${Math.round(stats.size / 1e6)} MB, where ${LARGEST / 1e6} MB are the most`, code: "file" };
    return decoded(await readFile(file));
  } catch (error) {
    return { got: fileFault(error), code: "file" };
  }
}

/**
 * The text of bytes, or which other way of writing text they are in.
 *
 * @example decoded(new Uint8Array([0xff, 0xfe, 0x7b, 0])); // => { got: "text in UTF-16; save it as UTF-8", code: "encoding" }
 */
export function decoded(bytes: Uint8Array): { readonly text: string } | NoText {
  return textDecoder()(bytes, true);
}

/** As `decoded`, for a text that comes piece by piece, of which the ends may part a letter; `isLast` with its last piece. */
export function textDecoder(): (bytes: Uint8Array, isLast: boolean) => { readonly text: string } | NoText {
  const decoder = new TextDecoder("utf-8", { fatal: true });
  let isFirst = true;
  return (bytes, isLast) => {
    const isUtf16 = isFirst && looksLikeUtf16(bytes);
    isFirst = false;
    if (isUtf16) return { got: "text in UTF-16; save it as UTF-8", code: "encoding" };
    if (bytes.includes(0)) return { got: "bytes that are no text", code: "encoding" };
    try {
      return { text: decoder.decode(bytes, { stream: !isLast }) };
    } catch {
      return { got: "text in Latin-1 or another old way of writing; save it as UTF-8", code: "encoding" };
    }
  };
}

/** Its mark at the start, or a first letter that is half a zero. */
function looksLikeUtf16([first, second]: Uint8Array): boolean {
  if (first === undefined || second === undefined) return false;
  return (first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff) || (first === 0) !== (second === 0);
}
