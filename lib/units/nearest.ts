/**
 * The known word a misspelt one was most likely meant to be: the smallest edit distance (insert, drop, replace or swap
 * neighbours; case counts for nothing), and none where even that is more than a third of the word (one letter of two).
 *
 * @param word   as it was written
 * @param known  the words that would have been right; the earlier of two equally near ones is taken
 * @returns      the nearest known word, or null where none is near
 * @source       optimal string alignment distance, from memory
 * @example nearest("widht", ["length", "width"]); // => "width"
 */
export function nearest(word: string, known: readonly string[]): string | null {
  const lower = word.toLowerCase();
  let best: string | null = null;
  let least = (word.length === 1 ? 0 : Math.max(1, Math.floor(word.length / 3))) + 1;
  for (const candidate of known) {
    if (Math.abs(candidate.length - word.length) >= least) continue;
    const distance = editDistance(lower, candidate.toLowerCase());
    // A distance as long as the candidate shares no letter with it.
    if (distance < least && distance < candidate.length) [best, least] = [candidate, distance];
  }
  return best;
}

function editDistance(a: string, b: string): number {
  let older: number[] = [];
  let previous = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const current = [i];
    for (let j = 1; j <= b.length; j++) {
      const replaced = previous[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1);
      let distance = Math.min(previous[j]! + 1, current[j - 1]! + 1, replaced);
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      if (swapped) distance = Math.min(distance, older[j - 2]! + 1);
      current.push(distance);
    }
    [older, previous] = [previous, current];
  }
  return previous[b.length]!;
}
