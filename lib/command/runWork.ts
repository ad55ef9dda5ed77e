import { availableParallelism } from "node:os";
import { shownUrl } from "../node/redis.ts";
import { thisBuild } from "../node/thisBuild.ts";
import { UserFault } from "../node/userFault.ts";
import { workOn } from "../node/workOn.ts";
import { describe } from "../text/describe.ts";
import type { Console } from "./console.ts";
import { faultText } from "./faultText.ts";
import { limitOf, type ManyOptions } from "./manyMachines.ts";

/**
 * Makes rows that a queue asks for until it is told to stop: Ctrl-C lets it finish what is under way.
 *
 * @returns  the exit status: 1 where the queue cannot be worked on
 */
export async function runWork(
  words: readonly string[],
  _folder: string,
  console: Console,
  asked: ManyOptions & { readonly stop: () => AbortSignal; readonly threads?: string | undefined },
): Promise<number> {
  if (words.length > 0 || asked.queue === undefined) {
    console.err(
      `work: expected the URL of a queue, soakstep work --queue redis://host:6379, got ${words.length === 0 ? "nothing" : words.map(describe).join(", ")}\n`,
    );
    return 1;
  }
  try {
    const threads = threadsOf(asked.threads);
    const signal = asked.stop();
    let rows = 0;
    let told = Date.now();
    const worker = await workOn(asked.queue, {
      threads,
      limit: limitOf(asked.rowLimit),
      onMade: (made) => {
        rows += made;
        if (Date.now() - told < TELLS_MS) return;
        told = Date.now();
        console.err(`… ${rows} rows made\n`);
      },
      onServer: (isThere) => {
        console.err(isThere ? "the queue's server is there again\n" : "the queue's server is away; waiting for it\n");
      },
    });
    console.out(
      `working on ${shownUrl(asked.queue)} with ${worker.threads} ${worker.threads === 1 ? "thread" : "threads"}, ${thisBuild()}; Ctrl-C stops after what is under way\n`,
    );
    await new Promise<void>((done) => {
      signal.addEventListener("abort", () => {
        done();
      });
    });
    await worker.close();
    console.out(`stopped, ${rows} rows made\n`);
    return 0;
  } catch (error) {
    console.err(`${faultText("work", error)}\n`);
    return 1;
  }
}

const TELLS_MS = 30_000;

function threadsOf(text: string | undefined): number {
  if (text === undefined) return availableParallelism();
  const threads = Number(text);
  if (Number.isInteger(threads) && threads >= 1 && threads <= 1024) return threads;
  throw new UserFault(`--threads: expected a whole number from 1 to 1024, got ${describe(text)}`);
}
