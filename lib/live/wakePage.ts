import { answerSentence } from "../figures/answer.ts";
import { rainText } from "../figures/rainPanel.ts";
import { soilText } from "../figures/runSubtitle.ts";
import { sectionCaption } from "../figures/sectionCaption.ts";
import { keptTogether } from "../text/keptTogether.ts";
import { readQuantity } from "../text/quantity.ts";
import { InputError } from "../text/problem.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import { capital, visible } from "../text/words.ts";
import { addressOf, stateOf } from "./address.ts";
import { changedWords } from "./changedWords.ts";
import { byId } from "./element.ts";
import type { HandleKey } from "./handle.ts";
import { levelPicture } from "./levelPicture.ts";
import { liveAnswers } from "./liveAnswers.ts";
import { hourRefusal, liveRun, type LiveRun, type LiveSource } from "./liveRun.ts";
import { asItIs, withEdit, withStorm, type LiveState } from "./liveState.ts";
import { originalText, saysTheSame } from "./originalText.ts";
import { plotlyPictures } from "./plotlyPictures.ts";
import { sectionPicture } from "./sectionPicture.ts";
import { whyPitStands } from "./whyPitStands.ts";

/**
 * Brings a page to life: from the address on, whatever is pulled, typed or tapped becomes a change of the site file, which is
 * read, checked and run whole, and all that the page shows follows in the next frame. What the reader refuses is said beside
 * what was moved, and the last state that can be stays.
 */
export function wakePage(source: LiveSource): void {
  const storms = source.file["storms"] as readonly Readonly<Record<string, unknown>>[];
  const told = stateOf(location.hash, storms.length);
  let shown = firstRun(source, storms.length);
  let wanted: LiveState = shown.state;
  let mover: HandleKey | null = null;
  let held: HandleKey | null = null;
  let frame = 0;
  let rest: ReturnType<typeof setTimeout> | undefined;
  let refusedAt: HandleKey | null = null;

  const events = { moved, held: (key: HandleKey | null): void => {
    held = key;
    if (key === null) schedule(null);
  } };
  const level = levelPicture(byId("level"), events);
  const section = sectionPicture(byId("section"), events);

  /** A handle, a button or a typed text wants something changed. */
  function moved(key: HandleKey, text: string): void {
    if (key === "hour") {
      const reading = readQuantity(text, "time");
      if ("got" in reading) {
        refuse("hour", `hour: expected ${reading.expected}, got ${reading.got}`);
        return;
      }
      const refused = hourRefusal(shown.run, reading.value / 3600, text);
      if (refused !== null) refuse("hour", refused);
      else {
        wanted = { ...wanted, hour: Number((reading.value / 3600).toFixed(2)) };
        schedule("hour");
      }
      return;
    }
    const original = originalText(source.file, key, wanted.storm);
    wanted = withEdit(wanted, key, original !== null && saysTheSame(original, text) ? null : text);
    schedule(key);
  }

  /** Everything that happens before the next frame is drawn once, in it. */
  function schedule(key: HandleKey | null): void {
    mover = key ?? mover;
    if (frame === 0) frame = requestAnimationFrame(update);
  }

  function update(): void {
    frame = 0;
    const isNew = wanted.edits !== shown.state.edits || wanted.storm !== shown.state.storm;
    if (isNew) {
      const next = tryRun(wanted);
      if (next === null) return;
      shown = next;
    } else shown = { ...shown, state: wanted };
    refuse(null, "");
    show(isNew || held === null || held !== "hour");
    clearTimeout(rest);
    rest = setTimeout(atRest, REST_MS);
  }

  function tryRun(state: LiveState): LiveRun | null {
    try {
      return liveRun(source, state);
    } catch (error) {
      if (!(error instanceof InputError) && !(error instanceof StoppedRun)) throw error;
      wanted = shown.state;
      refuse(mover, refusalWords(error));
      return null;
    }
  }

  function refuse(key: HandleKey | null, words: string): void {
    for (const picture of [level, section]) if (refusedAt !== null) picture.refuse(refusedAt, "");
    refusedAt = key;
    // what has no handle of its own, a button or an address, is answered over the pictures
    const general = byId("refusal");
    const isOwn = key !== null && document.querySelector(`[data-key="${key}"]`) !== null;
    general.textContent = isOwn ? "" : words;
    if (isOwn) for (const picture of [level, section]) picture.refuse(key, words);
  }

  function show(all: boolean): void {
    // a page that is being put away has no width to draw for
    if (byId("level").clientWidth === 0) return;
    const { run, state } = shown;
    const hour = hourOf(shown);
    if (all) {
      level.draw(shown, hour, held !== null);
      byId("answer").textContent = keptTogether(answerSentence(run));
      byId("subtitle").textContent = `${rainText(run)} · ${soilText(run.site)}`;
      setMarkup(byId("answers"), liveAnswers(run));
      showStorms(state.storm);
      const changed = changedWords(source.file, state);
      byId("changed").hidden = changed === "";
      byId("changed-words").textContent = changed;
    } else level.drawHour(shown, hour);
    section.draw(shown, hour, held !== null);
    byId("moment").textContent = keptTogether(section.answer());
    byId("why").textContent = whyPitStands(run, hour * 3600);
    byId("section-caption").textContent = sectionCaption(run, hour * 3600);
  }

  function showStorms(chosen: number): void {
    document.querySelectorAll("[data-storm]").forEach((button) => {
      button.setAttribute("aria-pressed", String(Number(button.getAttribute("data-storm")) === chosen));
    });
  }

  /** What need not follow within the frame: the address, the words that are read aloud, and plotly's pictures. */
  function atRest(): void {
    const address = addressOf(shown.state);
    if (address !== location.hash) history.replaceState(null, "", address === "" ? location.pathname + location.search : address);
    byId("spoken").textContent = answerSentence(shown.run);
    byId("file").textContent = JSON.stringify(shown.file, null, 2);
    void plotlyPictures(shown.run);
  }

  function open(address: string): void {
    const { state, unknown } = stateOf(address, storms.length);
    wanted = state;
    let next = tryRun(state);
    const late = next === null || state.hour === null ? null : hourRefusal(next.run, state.hour);
    if (next !== null && late !== null) next = { ...next, state: { ...state, hour: null } };
    if (next !== null) shown = next;
    wanted = shown.state;
    show(true);
    if (next !== null) {
      refuse(null, [
        ...(late === null ? [] : [late]),
        ...(unknown.length === 0 ? [] : [`The address holds something this page does not know: ${unknown.map(visible).join(", ")}.`]),
      ].join("; "));
    }
    atRest();
  }

  document.querySelectorAll("[data-storm]").forEach((button) => {
    button.addEventListener("click", () => {
      wanted = withStorm(wanted, Number(button.getAttribute("data-storm")));
      schedule(null);
    });
  });
  byId("put-back").addEventListener("click", () => {
    wanted = { ...wanted, edits: {} };
    schedule(null);
  });
  byId("download").addEventListener("click", () => {
    byId("download").setAttribute("href", `data:application/json;charset=utf-8,${encodeURIComponent(byId("file").textContent)}`);
  });
  addEventListener("hashchange", () => open(location.hash));
  addEventListener("resize", () => {
    schedule(null);
  });
  addEventListener("beforeprint", () => show(true));
  addEventListener("afterprint", () => show(true));
  if (told.unknown.length === 0 && location.hash === "") {
    show(true);
    atRest();
  } else open(location.hash);
}

/** The file's first storm that runs to its end. */
function firstRun(source: LiveSource, storms: number): LiveRun {
  for (let storm = 0; ; storm++) {
    try {
      return liveRun(source, { ...asItIs, storm });
    } catch (error) {
      if (!(error instanceof StoppedRun) || storm + 1 === storms) throw error;
    }
  }
}

/** A pull rests when nothing has moved for so long [ms]. */
const REST_MS = 250;

/** The hour that is looked at: when the pit stands highest, where none was chosen. */
function hourOf({ run, state: { hour } }: LiveRun): number {
  return Math.min(run.until / 3600, hour ?? run.peaks["chamberBank"]!.time / 3600);
}

function refusalWords(error: InputError | StoppedRun): string {
  if (error instanceof InputError) return error.problems.map(({ where, expected, got }) => `${where}: expected ${expected}, got ${got}`).join("; ");
  return `${capital(error.message)}.`;
}

/** Markup of our own templates, in which every name is escaped. */
function setMarkup(place: HTMLElement, { markup }: { readonly markup: string }): void {
  place.innerHTML = markup;
}
