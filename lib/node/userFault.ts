import type { ProblemCode } from "../text/problem.ts";
import { visible } from "../text/words.ts";

/** Something a person can put right; its message says what, and needs no stack. `code` tells a program what kind of fault it is. */
export class UserFault extends Error {
  readonly code: ProblemCode;

  constructor(message: string, code: ProblemCode = "value") {
    super(message.split("\n").map(visible).join("\n"));
    this.name = "UserFault";
    this.code = code;
  }
}
