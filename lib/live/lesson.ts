import type { Figure } from "../figures/figure.ts";
import { lessonDepthFigure, lessonSlopeFigure, MOST_DEPTH } from "../figures/lessonFigures.ts";
import { ink, lines } from "../figures/look.ts";
import { figureDrawing, figureSvg } from "../figures/svg/figureSvg.ts";
import { plotFrame, type PlotFrame } from "../figures/svg/plotFrame.ts";
import { CAUSES, fourTable, LESSON_START, lessonHeadline, lessonLine } from "../report/lessonPage.ts";
import { stepperWords } from "../simulate/kernel.ts";
import type { Run } from "../simulate/run.ts";
import {
  LESSON_HOURS, lessonAnswers, type LessonAnswers, lessonCode, lessonRun, type LessonState, readLessonCode, slope, TOP_PLACE,
} from "../study/lesson.ts";
import { lessonQuestions } from "../study/lessonQuestions.ts";
import { momentText } from "../text/hours.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { drawnPlace } from "./drawnPlace.ts";
import { byId, element, placeAt } from "./element.ts";
import type { Handle, HandleKey } from "./handle.ts";
import { handleLayer } from "./handleLayer.ts";
import { SAVED } from "./levelPicture.ts";
import { pastStates } from "./pastStates.ts";
import { timeRuns } from "./timeRuns.ts";
import { savePicture } from "./wakePage.ts";

/** Brings the lesson to life: place, switches, hour, and the questions that are guessed first. */
function wakeLesson({ years }: { readonly years: readonly (readonly (readonly number[])[])[] }): void {
  let state: LessonState = LESSON_START;
  let hour: number | null = null;
  let asked: number | null = null;
  let guess: (readonly [number, number])[] = [];
  let isTold = false;
  let held: HandleKey | null = null;
  let frame = 0;
  let paper: number | null = null;
  let depthFrame: PlotFrame | null = null;
  document.body.classList.add("awake");
  const runs = new Map<string, Run>();
  const runOf = (at: LessonState): Run => {
    const key = lessonCode(at, 0);
    const run = runs.get(key) ?? lessonRun(at);
    runs.set(key, run);
    return run;
  };
  const answersOf = (at: LessonState): LessonAnswers => lessonAnswers(runOf(at), at);
  const hourNow = (): number => hour ?? runOf(state).peaks["chamberBank"]!.time / 3600;
  const isGuessing = (): boolean => asked !== null && !isTold;

  const places = ["slope", "depth"].map((id) => {
    const place = byId(id);
    const drawn = drawnPlace();
    place.replaceChildren(drawn.root);
    return { place, drawing: drawn.root, draw: drawn.draw };
  });
  const [slopePlace, depthPlace] = places as [typeof places[0], typeof places[0]];
  const hourLine = element("div", { class: "hour-line" });
  depthPlace.place.append(hourLine);
  const time = timeRuns({
    begun: () => document.body.classList.add("running"), ended: () => {
      document.body.classList.remove("running");
      draw();
    },
    frame: (at) => {
      hour = at;
      drawMoment();
    },
  });
  const events = {
    moved: (key: HandleKey, text: string): void => {
      time.stop();
      if (key === "hour") hour = Math.max(0, Math.min(LESSON_HOURS, Number.parseFloat(text)));
      else {
        const up = Number.parseFloat(text);
        if (!Number.isFinite(up)) return;
        set({ ...state, place: Math.max(0, Math.min(TOP_PLACE, Math.round(up / slope.perPlace))) });
        return;
      }
      schedule();
    },
    held: (key: HandleKey | null): void => {
      held = key;
      schedule();
    },
    tapped: (key: HandleKey): void => {
      if (key === "hour") time.toggle(runOf(state), hourNow());
    },
  };
  const slopeLayer = handleLayer(slopePlace.place, events);
  const depthLayer = handleLayer(depthPlace.place, events);
  const past = pastStates((address) => open(address));

  function set(next: LessonState): void {
    if (lessonCode(next, 0) === lessonCode(state, 0)) return;
    time.stop();
    state = next;
    if (isGuessing()) leave();
    schedule();
  }

  function schedule(): void {
    if (frame === 0) frame = requestAnimationFrame(draw);
  }

  function draw(): void {
    // a page that is being put away has no width to draw for
    if (paper === null && slopePlace.place.clientWidth === 0) return;
    frame = 0;
    const run = runOf(state);
    drawMoment();
    byId("groundwater").setAttribute("aria-checked", String(state.groundwater));
    byId("run-on").setAttribute("aria-checked", String(state.runOn));
    const answers = answersOf(state);
    const hidden = isGuessing();
    byId("headline").textContent = keptTogether(asked !== null ? `${asked + 1} of ${lessonQuestions.length}. ${lessonQuestions[asked]!.ask}` : lessonHeadline(run, state));
    byId("answers-now").textContent = hidden ? "" : lessonLine(answers, state, years[state.place]![Number(state.groundwater)]![Number(state.runOn)]!);
    const four = CAUSES.map((causes) => ({ ...causes, run: runOf({ ...state, ...causes }) }));
    byId("four").innerHTML = hidden ? "" : fourTable(four, state).markup;
    const width = paper ?? depthPlace.place.clientWidth;
    const figure = depthFigure(width);
    depthFrame = plotFrame(figure.layout, width);
    depthPlace.draw(figureDrawing(figure, { width, id: "depth", frame: depthFrame }));
    depthPlace.place.style.height = `${depthFrame.height}px`;
    depthPlace.place.setAttribute("aria-label", figure.description);
    if (held === null && !time.isRunning()) {
      const code = lessonCode(state, hourNow());
      if (document.activeElement !== byId("code")) (byId("code") as HTMLInputElement).value = code;
      byId("spoken").textContent = figure.answer;
      past.keep(`#${code}`);
    }
    showHour();
  }

  /** The water in the pit as the switches stand and otherwise, and what was guessed; before it is shown the guess alone. */
  function depthFigure(width: number): Figure {
    // a question shows its own curve, not those of the questions to come
    const curves = isGuessing() ? [] : CAUSES.filter(({ groundwater, runOn }) => (
      asked === null || (groundwater === state.groundwater && runOn === state.runOn))).map(({ words, groundwater, runOn }) => ({
      words, run: runOf({ ...state, groundwater, runOn }), isShown: groundwater === state.groundwater && runOn === state.runOn,
    }));
    return lessonDepthFigure(curves, guess, { width });
  }

  /** The slope at the hour that is looked at; while one guesses as it stands before the rain. */
  function slopeFigure(width: number): Figure {
    const run = runOf(state);
    return lessonSlopeFigure(run, state, isGuessing() ? 0 : Math.min(run.until, hourNow() * 3600), { width });
  }

  function drawMoment(): void {
    const width = paper ?? slopePlace.place.clientWidth;
    const figure = slopeFigure(width);
    const drawn = plotFrame(figure.layout, width);
    slopePlace.draw(figureDrawing(figure, { width, id: "slope", frame: drawn }));
    slopePlace.place.style.height = `${drawn.height}px`;
    slopePlace.place.setAttribute("aria-label", figure.description);
    slopeLayer.show([placeHandle(state, drawn)], width);
    showHour();
  }

  function showHour(): void {
    if (depthFrame === null) return;
    depthLayer.show(isGuessing() ? [] : [hourHandle(hourNow(), depthFrame)], depthFrame.width);
    const x = depthFrame.x.pixel(hourNow());
    hourLine.hidden = isGuessing();
    placeAt(hourLine, x, depthFrame.top);
    hourLine.style.height = `${depthFrame.bottom - depthFrame.top}px`;
  }

  function open(code: string): void {
    const read = readLessonCode(code.replace(/^#/, ""));
    if (read === null) {
      if (code.replace(/^#/, "") !== "") byId("code-words").textContent = "A code has a letter from A to K, a figure from 1 to 4, and the hour in two figures, such as A412.";
      return;
    }
    time.stop();
    ({ state, hour } = read);
    byId("code-words").textContent = "";
    leave();
    schedule();
  }

  /** A question, or none. */
  function ask(number: number | null): void {
    time.stop();
    asked = number;
    guess = [];
    isTold = false;
    hour = null;
    document.body.classList.toggle("guessing", number !== null);
    if (number !== null) ({ state } = lessonQuestions[number]!);
    showAsked();
    schedule();
    // the question stands on top
    if (number !== null) byId("headline").focus();
  }

  function leave(): void {
    asked = null;
    guess = [];
    document.body.classList.remove("guessing");
    showAsked();
  }

  function showAsked(): void {
    const button = (words: string, act: () => void): HTMLButtonElement => {
      const made = element("button", { type: "button" }, words);
      made.addEventListener("click", act);
      return made;
    };
    const place = byId("asked");
    document.body.classList.toggle("asking", asked !== null);
    if (asked === null) {
      place.replaceChildren(element("p", {}, "Ten questions, each guessed first: draw the curve with a finger, then see the run over it."), button("First question", () => ask(0)));
      return;
    }
    const { reason } = lessonQuestions[asked]!;
    const next = asked + 1 < lessonQuestions.length ? button("Next question", () => ask(asked! + 1)) : button("To the end", () => ask(null));
    place.replaceChildren(
      ...(isTold ? [element("p", {}, keptTogether(reason(answersOf))), next]
        : [element("p", {}, guess.length < 2 ? "Draw the water in the pit into the empty picture above, from left to right." : "Draw again, or:"), button("Run it", tell)]),
    );
  }

  function tell(): void {
    isTold = true;
    document.body.classList.remove("guessing");
    showAsked();
    hour = 0;
    draw();
    time.toggle(runOf(state), 0);
  }

  let isDrawing = false;
  depthPlace.drawing.addEventListener("pointerdown", (event) => {
    if (!isGuessing() || depthFrame === null) return;
    isDrawing = true;
    guess = [];
    depthPlace.drawing.setPointerCapture(event.pointerId);
    addGuess(event);
  });
  depthPlace.drawing.addEventListener("pointermove", (event) => {
    if (isDrawing) addGuess(event);
  });
  for (const end of ["pointerup", "pointercancel"] as const) {
    depthPlace.drawing.addEventListener(end, () => {
      if (!isDrawing) return;
      isDrawing = false;
      showAsked();
    });
  }
  depthPlace.drawing.addEventListener("click", (event) => {
    if (isGuessing() || depthFrame === null) return;
    const x = event.clientX - depthPlace.place.getBoundingClientRect().left;
    if (x >= depthFrame.left && x <= depthFrame.right) events.moved("hour", String(depthFrame.x.value(x)));
  });

  function addGuess(event: PointerEvent): void {
    const box = depthPlace.place.getBoundingClientRect();
    const at = Math.max(0, Math.min(LESSON_HOURS, depthFrame!.x.value(event.clientX - box.left)));
    const depth = Math.max(0, Math.min(MOST_DEPTH, depthFrame!.y("y").value(event.clientY - box.top)));
    // a curve goes from left to right; going back takes back
    guess = [...guess.filter(([hours]) => hours < at), [at, depth]];
    schedule();
  }

  for (const id of ["groundwater", "run-on"] as const) {
    byId(id).addEventListener("click", () => set(id === "groundwater" ? { ...state, groundwater: !state.groundwater } : { ...state, runOn: !state.runOn }));
  }
  byId("code").addEventListener("input", () => {
    const { value } = byId("code") as HTMLInputElement;
    if (value.trim().length === 4) open(value);
  });
  byId("code").addEventListener("change", () => open((byId("code") as HTMLInputElement).value.trim()));
  for (const [name, figure] of [["slope", slopeFigure], ["depth", depthFigure]] as const) {
    for (const kind of ["svg", "png"] as const) {
      byId(`save-${name}-${kind}`).addEventListener("click", () => savePicture(figureSvg(figure(SAVED), { width: SAVED, id: name }), kind, name));
    }
  }
  addEventListener("resize", schedule);
  addEventListener("beforeprint", () => {
    time.stop();
    paper = 670;
    draw();
  });
  addEventListener("afterprint", () => {
    paper = null;
    draw();
  });
  showAsked();
  if (location.hash !== "") open(location.hash);
  draw();
}

function placeHandle({ place }: LessonState, frame: PlotFrame): Handle {
  const at = place * slope.run;
  const up = place * slope.perPlace;
  const perPixel = frame.x.value(1) - frame.x.value(0);
  const written = (places: number): string => `${(Math.max(0, Math.min(TOP_PLACE, places)) * slope.perPlace).toFixed(2)} m`;
  const spoken = place === 0 ? "at the foot of the slope" : `${up.toFixed(2)} m up the slope`;
  return {
    key: "place", name: "place of the works on the slope", words: place === 0 ? "at the foot" : `${up.toFixed(2)} m up`, color: lines.pit.color,
    x: frame.x.pixel(at), y: frame.y("y").pixel(20 + up) - 18, side: "left", along: "across", value: up, least: 0, most: TOP_PLACE * slope.perPlace, spoken, typed: `${up.toFixed(2)} m`,
    grab: () => (right) => written(Math.round((at + right * perPixel) / slope.run)),
    step: (steps, large) => written(place + steps * (large ? 4 : 1)), ends: [written(0), written(TOP_PLACE)],
  };
}

function hourHandle(hour: number, frame: PlotFrame): Handle {
  const words = momentText(hour * 3600);
  const at = frame.x.pixel(hour);
  const written = (value: number): string => `${Math.max(0, Math.min(LESSON_HOURS, value)).toFixed(2)} h`;
  return {
    key: "hour", name: "hour that the slope shows", words, color: ink.text, x: at, y: frame.bottom, side: "below", along: "across", value: hour, least: 0, most: LESSON_HOURS, spoken: words,
    typed: written(hour), grab: () => (right) => written(frame.x.value(at + right)),
    step: (steps, large) => written(Math.round(hour * 4) / 4 + (steps * (large ? 12 : 1)) / 4),
    ends: [written(0), written(LESSON_HOURS)],
  };
}

// What the browser runs on the lesson's page.
byId("stepper").textContent = ` Here: ${stepperWords()}.`;
wakeLesson(JSON.parse(byId("lesson-source").textContent) as { years: number[][][] });
