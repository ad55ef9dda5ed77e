import type { Site } from "../site/site.ts";
import type { Run, RunEvent } from "./run.ts";

export function runNotes(_site: Site, _peaks: Run["peaks"], _events: readonly RunEvent[], _drained: Run["drainDown"]): string[] {
  return [];
}
