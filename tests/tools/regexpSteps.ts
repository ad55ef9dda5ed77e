import { RegExpParser, type AST } from "@eslint-community/regexpp";

/**
 * Counts what regular expressions do: a step for each letter that is held against a part of a pattern, and for each way that is tried
 * again, as a backtracking engine tries them. Every use of a pattern while `work` runs is counted, by matching it a second time here.
 *
 * @throws Error  after more than `most` steps
 */
export async function regexpSteps(work: () => unknown, most: number): Promise<number> {
  const exec = RegExp.prototype.exec;
  let steps = 0;
  const step = (): void => {
    if (++steps > most) throw new Error(`more than ${most} steps`);
  };
  const counting = function (this: RegExp, text: string): RegExpExecArray | null {
    const { lastIndex } = this;
    // own patterns of the count are not counted
    RegExp.prototype.exec = exec;
    try {
      search(this, text, this.global || this.sticky ? lastIndex : 0, step);
      return exec.call(this, text);
    } finally {
      RegExp.prototype.exec = counting;
    }
  };
  RegExp.prototype.exec = counting;
  try {
    await work();
  } finally {
    RegExp.prototype.exec = exec;
  }
  return steps;
}

/** Matches from a place on, and goes on to `then` from where it ends. */
type Match = (at: number, then: (at: number) => boolean) => boolean;

/** What a pattern is matched in; another text with each search. */
interface Context {
  text: string;
  readonly flags: string;
  step: () => void;
}

/** A pattern made ready, which is dear, for all its searches. */
interface Ready {
  readonly match: Match;
  readonly context: Context;
  /** engines know that a pattern for the start of a text need not be tried further on */
  readonly isAnchored: boolean;
}

const READY = new Map<string, Ready>();

function readyFor(pattern: RegExp): Ready {
  const key = `${pattern.flags}/${pattern.source}`;
  const known = READY.get(key);
  if (known !== undefined) return known;
  const parser = new RegExpParser({ ecmaVersion: 2024 });
  const { alternatives } = parser.parsePattern(pattern.source, undefined, undefined, { unicode: pattern.unicode });
  const context: Context = { text: "", flags: pattern.flags.replace(/[gy]/g, ""), step: () => undefined };
  const isAnchored = !pattern.multiline && alternatives.every(({ elements: [first] }) => first?.type === "Assertion" && first.kind === "start");
  const ready = { match: anyOf(alternatives, context), context, isAnchored };
  READY.set(key, ready);
  return ready;
}

function search(pattern: RegExp, text: string, from: number, step: () => void): void {
  const { match, context, isAnchored } = readyFor(pattern);
  context.text = text;
  context.step = step;
  for (let at = from; at <= (isAnchored ? from : text.length); at++) {
    step();
    if (match(at, () => true) || pattern.sticky) return;
  }
}

function anyOf(alternatives: readonly AST.Alternative[], context: Context): Match {
  const ways = alternatives.map(({ elements }) => inTurn(elements.map((element) => matchOf(element, context))));
  return (at, then) => ways.some((way) => {
    context.step();
    return way(at, then);
  });
}

function inTurn(parts: readonly Match[]): Match {
  const from = (i: number, at: number, then: (at: number) => boolean): boolean => (
    i === parts.length ? then(at) : parts[i]!(at, (next) => from(i + 1, next, then)));
  return (at, then) => from(0, at, then);
}

function matchOf(element: AST.Element, context: Context): Match {
  const letter = letterOf(element, context);
  if (letter !== null) {
    return (at, then) => {
      const next = letter(at);
      return next > at && then(next);
    };
  }
  switch (element.type) {
    case "Group":
    case "CapturingGroup":
      return anyOf(element.alternatives, context);
    case "Assertion":
      if (element.kind === "lookahead") {
        const ahead = anyOf(element.alternatives, context);
        return (at, then) => ahead(at, () => true) !== element.negate && then(at);
      }
      if (element.kind === "start") return (at, then) => at === 0 && then(at);
      if (element.kind === "end") return (at, then) => at === context.text.length && then(at);
      if (element.kind === "word") {
        const isWord = (i: number): boolean => /\w/.test(context.text.charAt(i));
        return (at, then) => (isWord(at) !== isWord(at - 1)) !== element.negate && then(at);
      }
      break;
    case "Quantifier": return repeated(element, context);
    default:
  }
  throw new Error(`expected a part of a pattern that can be counted, got ${element.raw}`);

  function repeated({ min, max, greedy, element: inner }: AST.Quantifier, given: Context): Match {
    const single = letterOf(inner, given);
    if (single !== null) {
      return (at, then) => {
        const ends = [at];
        const more = (): boolean => {
          const last = ends.at(-1)!;
          const next = ends.length > max ? last : single(last);
          if (next > last) ends.push(next);
          return next > last;
        };
        if (greedy) {
          while (more());
          for (let n = ends.length - 1; n >= min; n--) {
            context.step();
            if (then(ends[n]!)) return true;
          }
          return false;
        }
        for (let n = 0; n <= max; n++) {
          context.step();
          if (n >= min && then(ends[n]!)) return true;
          if (!more()) return false;
        }
        return false;
      };
    }
    const part = matchOf(inner, given);
    const again = (n: number, at: number, then: (at: number) => boolean): boolean => {
      context.step();
      const further = (): boolean => n < max && part(at, (next) => next > at && again(n + 1, next, then));
      return greedy ? further() || (n >= min && then(at)) : (n >= min && then(at)) || further();
    };
    return (at, then) => again(0, at, then);
  }
}

/** Where one letter ends that a part of a pattern takes, the place itself where it takes none; null for parts of more than a letter. */
function letterOf(element: AST.Element, context: Context): ((at: number) => number) | null {
  if (element.type !== "Character" && element.type !== "CharacterClass" && element.type !== "CharacterSet") return null;
  const { flags } = context;
  const one = new RegExp(`^(?:${element.raw})$`, flags.replace("m", ""));
  const known = new Map<string, boolean>();
  const isWide = flags.includes("u");
  return (at) => {
    const { text } = context;
    context.step();
    if (at >= text.length) return at;
    const letter = isWide ? String.fromCodePoint(text.codePointAt(at)!) : text.charAt(at);
    if (!known.has(letter)) known.set(letter, one.test(letter));
    return known.get(letter) === true ? at + letter.length : at;
  };
}
