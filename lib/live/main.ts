import { stepperWords } from "../simulate/kernel.ts";
import { byId } from "./element.ts";
import { wakePage } from "./wakePage.ts";
import type { LiveSource } from "./liveRun.ts";

// What the browser runs: the page was made with its site, and everything else comes from that.
byId("stepper").textContent = ` Here: ${stepperWords()}.`;
wakePage(JSON.parse(byId("live-source").textContent) as LiveSource);
