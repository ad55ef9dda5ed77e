import { InputError, type Problem } from "../text/problem.ts";

/** All that is wrong with a site file, in one error; `problems` holds each as where, expected, got. */
export class SiteError extends InputError {
  constructor(problems: readonly Problem[]) {
    super(`The site file cannot be used: ${problems.length === 1 ? "one problem" : `${problems.length} problems`}.`, problems);
    this.name = "SiteError";
  }
}
