/**
 * The known word a misspelt one was most likely meant to be; see `nearestWords`.
 *
 * @param word   as it was written
 * @param known  the words that would have been right
 * @returns      the nearest known word, or null where none is near, or two are equally so
 * @example nearest("widht", ["length", "width"]); // => "width"
 */
export function nearest(word: string, known: readonly string[]): string | null {
  const [first, second] = nearestWords(word, known);
  return second === undefined ? (first ?? null) : null;
}

/**
 * The known words at the smallest edit distance from a misspelt one (insert, drop, replace or swap neighbours; case counts for
 * nothing), and none where even that is more than a third of the word (one letter of two). A word with other digits is
 * another thing and no misspelling: `nrcs-2` does not mean `nrcs-i`.
 *
 * @source  optimal string alignment distance, from memory
 */
export function nearestWords(word: string, known: readonly string[]): string[] {
  const lower = word.toLowerCase();
  let best: string[] = [];
  let least = word.length === 1 ? 0 : Math.max(1, Math.floor(word.length / 3));
  for (const candidate of new Set(known)) {
    if (Math.abs(candidate.length - word.length) > least || digitsOf(candidate) !== digitsOf(word)) continue;
    const distance = editDistance(lower, candidate.toLowerCase());
    // A distance as long as the candidate shares no letter with it.
    if (distance > least || distance >= candidate.length) continue;
    best = distance < least ? [candidate] : [...best, candidate];
    least = distance;
  }
  return best;
}

/** In no order, which a slip may turn about as well. */
function digitsOf(word: string): string {
  return word.replace(/\D/g, "").split("").sort().join("");
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
