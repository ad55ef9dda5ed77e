import { UserFault } from "../node/userFault.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import { LostRows } from "../study/runStudy.ts";
import { InputError } from "../text/problem.ts";

/** What a person can put right is said in words; anything else is a fault of the program's own and keeps its stack. */
export function faultText(path: string, error: unknown): string {
  if (error instanceof UserFault) return error.message;
  if (error instanceof InputError || error instanceof StoppedRun || error instanceof LostRows) return `${path}: ${error.message}`;
  return `${path}: the run failed, which is a fault of soakstep and not of the site file. ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`;
}
