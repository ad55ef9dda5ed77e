/**
 * One thing wrong with what a person gave: where it stands, what was expected there and what was found.
 */
export interface Problem {
  readonly where: string;
  readonly expected: string;
  readonly got: string;
}

/**
 * All that is wrong with an input, in one error. `message` words every problem on a line of its own as
 * `where: expected what, got what`; `problems` holds the same as data.
 */
export class InputError extends Error {
  readonly problems: readonly Problem[];

  constructor(subject: string, problems: readonly Problem[]) {
    super([subject, ...problems.map(problemLine)].join("\n  "));
    this.name = "InputError";
    this.problems = problems;
  }
}

function problemLine({ where, expected, got }: Problem): string {
  return `${where}: expected ${expected}, got ${got}`;
}
