import type { RunRecord } from "./runAnswers.ts";
import type { Run, RunEvent } from "./run.ts";

export function runEvents(_record: RunRecord, _peaks: Run["peaks"], _firings: Run["firings"]): RunEvent[] {
  return [];
}
