/**
 * A function that keeps the last few of what it made: a fit asks for the same run twice in a row, and a run is dear.
 *
 * @param most   how many are kept
 * @param keyOf  what tells one argument from another; the argument itself where missing
 */
export function remembered<Given, Made>(
  make: (given: Given) => Made, most: number, keyOf: (given: Given) => unknown = (given) => given,
): (given: Given) => Made {
  const known = new Map<unknown, Made>();
  return (given) => {
    const key = keyOf(given);
    let made = known.get(key);
    if (made === undefined) {
      made = make(given);
      if (known.size >= most) known.delete(known.keys().next().value);
      known.set(key, made);
    }
    return made;
  };
}
