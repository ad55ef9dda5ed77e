import { isBelow, type Judge } from "./judge.ts";
import type { Pipe } from "./site.ts";

/** A body at an end of a pipe: what it is called in words and the level below which it holds no water there. */
export interface PipeEnd {
  readonly name: string;
  readonly floor: number;
}

/** Water runs a pipe either way, so that its crest may lie below the floor of neither body: it would make water. */
export function checkPipe(pipe: Pipe, where: string, ends: readonly PipeEnd[], judge: Judge): void {
  const { crest } = pipe;
  const crestKey = pipe.outletInvert > pipe.invert ? "outletInvert" : "invert";
  for (const { name, floor } of ends) {
    if (isBelow(crest, floor)) judge.refuse(`${where}.${crestKey}`, `a level at or above ${name} (${judge.level(floor)})`);
  }
  // Without any loss the flow of the full pipe would have no bound.
  if (pipe.length === 0 && pipe.entranceLoss + pipe.exitLoss + pipe.bendLoss === 0) {
    judge.refuse(where, "some loss: a length, or an entrance, exit or bend loss", "none");
  }
}
