import { stepperWords } from "../simulate/kernel.ts";
import { byId } from "./element.ts";
import { wakeLesson } from "./wakeLesson.ts";

// What the browser runs on the lesson's page.
byId("stepper").textContent = ` Here: ${stepperWords()}.`;
wakeLesson(JSON.parse(byId("lesson-source").textContent) as { years: number[][][] });
