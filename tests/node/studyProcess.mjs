// Makes a study into the file it is told, on two threads, and says how many rows this process made itself.
import { readFileSync } from "node:fs";
import { readSite } from "../../dist/index.js";
import { runStudyInto, threadPool } from "../../dist/node.js";

const site = readSite(readFileSync(new URL("../../data/copperbeech-lane.json", import.meta.url), "utf8"));
const options = { runs: 1400, seed: 5, storm: { pattern: "block", depth: "34 mm", duration: "1 h" }, conductivityWithin: 3, until: "24 h" };
const pool = threadPool(2);
let own = 0;
await runStudyInto(process.argv[2], { kind: "ensemble", site, options }, { pool, onRows: (_, made) => { own++; process.stdout.write(`${made}\n`); } });
process.stdout.write(`stretches ${own}\n`);
await pool.close();
