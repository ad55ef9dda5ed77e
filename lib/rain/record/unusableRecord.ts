import { InputError } from "../../text/problem.ts";

/** The error of a record that cannot be read as a whole. */
export function unusableRecord(expected: string, got: string): InputError {
  return new InputError("The rain record cannot be read:", [{ where: "record", expected, got, code: "syntax" }]);
}
