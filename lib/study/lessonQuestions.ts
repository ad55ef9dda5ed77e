import type { LessonAnswers, LessonState } from "./lesson.ts";

/** A question of the lesson: what is set up, what is asked, and why it comes out as it does. */
export interface LessonQuestion {
  readonly state: LessonState;
  readonly ask: string;
  /** the reason in a sentence, from the answers of this state and of others */
  readonly reason: (of: (state: LessonState) => LessonAnswers) => string;
}

const at = (place: number, causes: "neither" | "groundwater" | "run-on" | "both"): LessonState =>
  ({ place, groundwater: causes === "groundwater" || causes === "both", runOn: causes === "run-on" || causes === "both" });
const m = (metres: number): string => `${metres.toFixed(2)} m`;

/**
 * The ten questions, in the order of the lesson. Each is guessed first: a curve is drawn, then the run over it. There is no score; the
 * reason says which cause did what, with the figures of the runs themselves.
 */
export const lessonQuestions: readonly LessonQuestion[] = Object.freeze([
  {
    state: at(0, "neither"), ask: "The works stand at the foot of the slope, but nothing runs on to them and groundwater is far below. How does the water in the pit go?",
    reason: (of) => `The low place alone does nothing: the pit rises to ${m(of(at(0, "neither")).peak)} and is dry a day after the rain.`,
  },
  {
    state: at(10, "neither"), ask: "The same works near the house, at the top, still without groundwater and run-on. What changes?",
    reason: (of) => `Nothing: ${m(of(at(10, "neither")).peak)} here, ${m(of(at(0, "neither")).peak)} at the foot. A pit does not know how high it stands, only what water is around it.`,
  },
  {
    state: at(0, "run-on"), ask: "Back at the foot, and now the slope's own water runs into the hollow beside the pit. How high does the pit go, and how long?",
    reason: (of) => `Run-on makes the peak: ${m(of(at(0, "run-on")).peak)} instead of ${m(of(at(0, "neither")).peak)}. It goes with the storm: a day after the rain ${m(of(at(0, "run-on")).day3)} are left.`,
  },
  {
    state: at(0, "groundwater"), ask: "Run-on off, groundwater on. Where does the curve begin, and where does it end?",
    reason: (of) => `It begins at ${m(of(at(0, "groundwater")).start)}, since groundwater stands in the pit before any rain, and a day after the rain ${m(of(at(0, "groundwater")).day3)} still stand there: `
      + "water soaks away only while it stands higher than the groundwater around it.",
  },
  {
    state: at(0, "both"), ask: "Both on: the low point as it is. Is it one cause on top of the other?",
    reason: (of) => `The peak, ${m(of(at(0, "both")).peak)}, is little more than with run-on alone, ${m(of(at(0, "run-on")).peak)}; but a day after the rain ${m(of(at(0, "both")).day3)} stand there, far more than with `
      + `groundwater alone, ${m(of(at(0, "groundwater")).day3)}. Run-on fills it, groundwater holds it full.`,
  },
  {
    state: at(1, "both"), ask: "A quarter of a metre up, out of the hollow. Both causes are still switched on. Which of them still reaches the pit?",
    reason: (of) => `Groundwater alone: the slope's water stays in the hollow, and ${m(of(at(1, "both")).peak)} at the highest are as much as without it. `
      + `Groundwater still stands ${m(of(at(1, "both")).start)} deep in the pit.`,
  },
  {
    state: at(4, "both"), ask: "A whole metre up. The water table lies just below the pit's floor before the rain. Does it matter?",
    reason: (of) => `Before the rain the pit is dry, yet a day after it ${m(of(at(4, "both")).day3)} stand there, against ${m(of(at(4, "neither")).day3)} without groundwater: `
      + "groundwater that is near slows what soaks away, even where it does not stand in the pit.",
  },
  {
    state: at(8, "both"), ask: "Two metres up. How much of the water is left a day after the rain now?",
    reason: (of) => `${m(of(at(8, "both")).day3)}: the deeper the water table, the sooner the pit is empty. A metre lower it was ${m(of(at(4, "both")).day3)}.`,
  },
  {
    state: at(10, "both"), ask: "Up beside the house, five metres from its wall. The pit does best here. What of the cellar?",
    reason: (of) => {
      const [near, far] = [of(at(10, "both")), of(at(0, "both"))];
      return `What soaks away lifts the water table at the wall by ${m(near.rise)}, against ${m(far.rise)} from the foot, and the ground that it keeps damp comes `
        + `${near.wall!.dampBelowSlab <= 0 ? "up to the cellar floor" : `to ${m(near.wall!.dampBelowSlab)} below the cellar floor`}. For the pit higher is better, for the house farther away: it goes between them, no nearer to the wall than local codes allow.`;
    },
  },
  {
    state: at(0, "both"), ask: "At the foot again. Take one cause away to have room again a day after the rain: which would you take?",
    reason: (of) => `Of ${m(of(at(0, "both")).day3)} there are ${m(of(at(0, "groundwater")).day3)} left without run-on, and ${m(of(at(0, "run-on")).day3)} without groundwater. Turning the slope's water away helps, `
      + "and can be done; groundwater does more, and nobody switches it off: at the foot a pit has to be shallower, or it stands higher up.",
  },
]);
