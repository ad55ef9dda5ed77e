// A worker of a queue with one thread, which is taken for dead after a second and a half of silence: node queueWorker.mjs <url> <limit in s>
import { workOn } from "../../dist/node.js";

await workOn(process.argv[2], { threads: 1, limit: Number(process.argv[3]), silence_ms: 1500 });
process.stdout.write("working\n");
