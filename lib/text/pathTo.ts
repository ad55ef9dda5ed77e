/**
 * The path of a key below `where`, for an error: `chamberBank.stone`, or `storms[0]["odd key"]` where the key is no plain word.
 *
 * @param where  of the object that holds the key; "" for the top
 */
export function pathTo(where: string, key: string): string {
  if (!/^[A-Za-z_$][\w$]*$/.test(key)) return `${where}[${JSON.stringify(key.slice(0, LONGEST_KEY))}]`;
  return where === "" ? key : `${where}.${key}`;
}

/** A key is a word; of one that is a page only the start is repeated. */
const LONGEST_KEY = 60;
