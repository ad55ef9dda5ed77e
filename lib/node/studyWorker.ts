import { parentPort, type MessagePort } from "node:worker_threads";
import { caseRows, type Cases } from "../study/cases.ts";
import { casesOf } from "../study/study.ts";
import type { Answer, Task } from "./threadPool.ts";

// One of the threads of `threadPool`: it makes the rows it is asked for and sends them back.
serve(parentPort!);

function serve(port: MessagePort): void {
  let known: { readonly id: number; readonly cases: Cases } | null = null;
  port.on("message", (task: Task) => {
    port.postMessage(answerTo(task));
  });

  function answerTo({ id, study, from, to }: Task): Answer {
    try {
      if (study !== undefined) known = { id, cases: casesOf(study) };
      if (known?.id !== id) throw new Error(`study ${id}: expected to have been sent it, got rows to make of it`);
      return { rows: caseRows(known.cases, from, to) };
    } catch (error) {
      return { error };
    }
  }
}
