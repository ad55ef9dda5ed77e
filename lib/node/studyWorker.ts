import { parentPort } from "node:worker_threads";
import { ensembleRuns } from "../study/ensemble.ts";
import type { Answer, Task } from "./threadPool.ts";

// One of the threads of `threadPool`: it makes the runs it is sent and sends their columns back.
parentPort!.on("message", ({ site, options, from, to }: Task) => {
  parentPort!.postMessage(answerTo({ site, options, from, to }));
});

function answerTo({ site, options, from, to }: Task): Answer {
  try {
    return { columns: ensembleRuns(site, options, from, to) };
  } catch (error) {
    return { error };
  }
}
