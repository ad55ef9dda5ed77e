import { greatestOf } from "../numerics/extremes.ts";
import { answerSentence } from "../figures/answer.ts";
import type { Markup } from "../report/markup.ts";
import { parseJson } from "../schema/parseJson.ts";
import { readSite } from "../site/readSite.ts";
import { InputError } from "../text/problem.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import { chamberCount } from "../study/resized.ts";
import { bulkText } from "../text/format.ts";
import { takeOff } from "../plan/takeOff.ts";
import { differences, fileKeys, fileName, fileText, withChanges, type Changes } from "../yard/fileKeys.ts";
import { firstAnswers, runOf, type FirstAnswers } from "../yard/firstAnswers.ts";
import { holeVerdict } from "../yard/holeVerdict.ts";
import { nearHouse, nearHouseWords, type NearHouse } from "../yard/nearHouse.ts";
import { answersOf, questions, readAnswers, type AnswersRead } from "../yard/questions.ts";
import { proposeWorks, type Proposal, type WorksProposed } from "../yard/proposeWorks.ts";
import { yardOf, type Told } from "../yard/yard.ts";
import type { SiteJson } from "../yard/yardFile.ts";
import {
  distanceAt,
  holePicture,
  nearHousePicture,
  planPicture,
  roofPicture,
  sectionPicture,
  sketchOf,
  type YardSketch,
} from "../yard/yardPictures.ts";
import { fillRows } from "./fillRows.ts";

/**
 * Wakes the page of a new yard: whatever is typed or tapped is read at once, drawn at once, and as soon as there is enough for it works
 * are proposed
 * and the six questions answered. What is wrong or unlikely is said beside its field, and the last answers stay until there are new ones.
 */
export function startNewPage(): void {
  const answers: Record<string, string> = {};
  let changes: Changes = {};
  /** a file without a survey: its figures alone are shown and changed */
  let plainFile: SiteJson | null = null;
  let shown: Shown | null = null;
  let turn = 0;
  let count = 0;
  let waiting: ReturnType<typeof setTimeout> | undefined;
  let distance: number | null = null;
  const fills = fillRows(byId("fills"), () => {
    Object.assign(answers, fills.texts());
    schedule();
  });

  /** Words and sketches follow at once; works, which take longer, once nothing has been typed for a moment. */
  function schedule(): void {
    const read = readAnswers(answers);
    byId("answers").dataset["told"] = String(++count);
    showWords(read);
    showSketches(read);
    clearTimeout(waiting);
    waiting = setTimeout(() => {
      void update();
    }, 500);
  }

  async function update(): Promise<void> {
    const mine = ++turn;
    const told = String(count);
    const read = readAnswers(answers);
    await worksOf(read, mine);
    if (mine === turn) byId("answers").dataset["shown"] = told;
  }

  async function worksOf(read: AnswersRead, mine: number): Promise<void> {
    if (plainFile !== null) {
      showPlain(plainFile);
      return;
    }
    if (read.told === null) {
      byId("lacking").textContent = lackingWords(read);
      showBar(read, null);
      return;
    }
    byId("lacking").textContent = "";
    try {
      const yard = yardOf(read.told);
      say("book", yard.book.note);
      const proposal = await proposeWorks(yard);
      const changed = proposal.kind === "works" ? withHand(proposal) : proposal;
      const first = await firstAnswers(changed);
      if (mine === turn) show(read, changed, first);
    } catch (error) {
      if (!(error instanceof InputError) && !(error instanceof StoppedRun)) throw error;
      if (mine !== turn) return;
      const words =
        error instanceof InputError
          ? error.problems
              .map(({ where, expected, got }) =>
                where === "survey.setUps" && expected === "readings that close" ? got : `${where}: expected ${expected}, got ${got}`,
              )
              .join(" ")
          : error.message;
      byId("lacking").textContent = words;
      byId("six").replaceChildren();
      for (const id of ["wall", "keys", "keep"]) byId(id).hidden = true;
      showBar(read, null);
    }
  }

  /** The proposal with the figures that were changed by hand; those that the file no longer has are let go. */
  function withHand(proposal: WorksProposed): WorksProposed {
    const known = new Set(fileKeys(proposal.file).map(({ path }) => path));
    changes = Object.fromEntries(Object.entries(changes).filter(([path]) => known.has(path)));
    if (Object.keys(changes).length === 0) return proposal;
    const file = withChanges(proposal.file, changes);
    try {
      const site = readSite(file);
      return { ...proposal, file, site, chambers: chamberCount(site) };
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      byId("lacking").textContent =
        `With the figures changed by hand: ${error.problems.map(({ where, expected, got }) => `${where}: expected ${expected}, got ${got}`).join("; ")}. The proposal without them is shown.`;
      return proposal;
    }
  }

  function show(read: AnswersRead, proposal: Proposal, { answers: six }: FirstAnswers): void {
    const file = proposal.kind === "works" ? proposal.file : null;
    const near = proposal.kind === "works" ? nearHouse(proposal.yard, proposal.site) : null;
    shown = { proposal, file, near, count };
    byId("six").replaceChildren(
      ...six.flatMap(({ question, answer, band }) => [
        made("h3", question),
        made("p", answer),
        ...(band === "" ? [] : [made("p", band, "band")]),
      ]),
    );
    showSketches(read);
    for (const id of ["wall", "keys", "keep"]) byId(id).hidden = file === null;
    if (file !== null && proposal.kind === "works") {
      distance ??= proposal.yard.houseToPit ?? 3;
      if (proposal.yard.houseToPit !== null && document.activeElement !== byId("wall-picture")) distance = proposal.yard.houseToPit;
      showWall();
      showKeys(file);
      save(file);
    }
    showBar(read, proposal);
  }

  /** A file that was made elsewhere: what it does in its storms, and its figures. */
  function showPlain(file: SiteJson): void {
    try {
      const site = readSite(file);
      const storms = site.storms.filter(({ options }) => !("file" in options));
      byId("lacking").textContent =
        "This file has no survey, so the six questions cannot be asked of it: its figures can be changed below, and what its storms do follows.";
      byId("six").replaceChildren(...storms.flatMap(({ name }) => [made("h3", name), made("p", answerSentence(runOf(site, name)))]));
      byId("keys").hidden = byId("keep").hidden = false;
      showKeys(file);
      save(file);
    } catch (error) {
      if (!(error instanceof InputError) && !(error instanceof StoppedRun)) throw error;
      byId("lacking").textContent = error.message;
    }
  }

  function lackingWords({ lacking, problems, facts }: AnswersRead): string {
    const wrong = Object.keys(problems).length;
    if (wrong > 0) return wrong === 1 ? "One field above cannot be read yet." : `${wrong} fields above cannot be read yet.`;
    return `${facts} of the twelve facts are told. Before anything can be said it still needs ${lacking.join(", ")}.`;
  }

  function showBar({ facts }: AnswersRead, proposal: Proposal | null): void {
    byId("progress").textContent = `${facts} of 12 facts`;
    byId("brief").textContent =
      proposal === null
        ? "Answers"
        : proposal.kind === "impossible"
          ? "The levels do not fit"
          : `${chamberCount(proposal.site)} ${chamberCount(proposal.site) === 1 ? "chamber" : "chambers"}, ${bulkText(takeOff(proposal.site).dig.volume, proposal.yard.units)} to dig`;
  }

  function showWords({ problems, asks, units }: AnswersRead): void {
    document.querySelectorAll<HTMLElement>("[data-say]").forEach((place) => {
      const key = place.dataset["say"]!;
      const problem = problems[key];
      const ask = asks[key];
      const text = problem ?? ask ?? "";
      if (place.firstChild?.textContent === text && text !== "") return;
      place.replaceChildren(...(text === "" ? [] : [document.createTextNode(text)]));
      if (ask === undefined || problem !== undefined) return;
      const yes = document.createElement("button");
      yes.type = "button";
      yes.textContent = "Yes";
      yes.addEventListener("click", () => {
        answers[key] = `=${answers[key]!}`;
        schedule();
      });
      place.append(" ", yes);
    });
    const known = (answers["region"] ?? "") !== "";
    document.querySelectorAll<HTMLElement>("[data-unit]").forEach((place) => {
      const key = place.dataset["unit"]!;
      const unit =
        key === "along"
          ? units === "us"
            ? "ft"
            : "m"
          : key === "hole"
            ? units === "us"
              ? "in"
              : "cm"
            : (questions.find((each) => each.key === key)?.unit?.(units) ?? "");
      place.textContent = known ? unit : "";
    });
    document.querySelectorAll<HTMLElement>("[data-hint]").forEach((place) => {
      place.textContent = questions.find(({ key }) => key === place.dataset["hint"])?.hint(units) ?? "";
    });
    byId("units").textContent = !known
      ? "Feet and inches, or metres: the country decides."
      : units === "us"
        ? "This page takes feet and inches here (6' 4½\", 12.5 ft, 1,600 sf); another unit is read where it is typed, and asked back."
        : "This page takes metres here (12,5 or 12.5; 85 cm); another unit is read where it is typed, and asked back.";
    const isTest = /^test/.test(answers["soil"] ?? "");
    const isInch = /min|mpi/i.test(answers["soil"] ?? "");
    byId("hole").hidden = !isTest && !isInch;
    byId("hole-water").hidden = !isInch;
    for (const id of ["fills", "add-reading", "add-fill"]) byId(id).hidden = isInch;
  }

  function sketch(read: AnswersRead): YardSketch {
    const plain = sketchOf(read.draft, read.units);
    const proposal = shown?.proposal;
    // works of figures that have changed since are not drawn
    if (proposal?.kind !== "works" || read.told === null || shown?.count !== count) return plain;
    const { site, levels } = proposal;
    const {
      chamberBank: pit,
      overflowTrench: trench,
      emitter,
      settlingBoxes: [box],
      groundwater,
    } = site;
    return {
      ...plain,
      groundwater: groundwater.level?.level[0] ?? null,
      works: {
        chambers: chamberCount(site),
        pitLength: pit.length,
        pitWidth: pit.width,
        trenchLength: trench?.length ?? 0,
        levels: {
          ...levels.levels,
          boxOutlet: box!.outlet.invert,
          pitInlet: box!.outlet.outletInvert,
          stoneTop: pit.stoneTop,
          pitFloor: pit.floor,
          ...(trench === null ? {} : { trenchHigh: trench.floor, trenchLow: trench.lowFloor }),
          ...(emitter === null ? {} : { crest: emitter.crest }),
        },
      },
    };
  }

  function showSketches(read: AnswersRead): void {
    const whole = sketch(read);
    const width = byId("ground-picture").clientWidth;
    put("roof-picture", roofPicture(whole, width));
    put("ground-picture", sectionPicture({ ...whole, works: null }, width));
    put("plan-picture", planPicture(whole, width));
    put("works-picture", whole.works === null ? null : sectionPicture(whole, width));
    const soil = read.draft["soil"] as { readonly test?: { readonly kind: "percolationHole"; readonly fills?: unknown } } | undefined;
    if (soil?.test?.fills === undefined) {
      put("hole-picture", null);
      say("hole-words", "");
      return;
    }
    try {
      const verdict = holeVerdict(soil.test as never, read.units);
      say("hole-words", verdict.words);
      put("hole-picture", holePicture(verdict, read.units, width));
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      say("hole-words", error.problems.map(({ expected, got }) => `expected ${expected}, got ${got}`).join("; "));
      put("hole-picture", null);
    }
  }

  function showWall(): void {
    if (shown === null || shown.near === null || distance === null) return;
    const { units } = shown.proposal.yard;
    const picture = byId("wall-picture");
    put("wall-picture", nearHousePicture(shown.near, distance, units, picture.clientWidth));
    const words = nearHouseWords(shown.near, distance, units);
    byId("wall-words").textContent = words;
    const size = units === "us" ? 0.3048 : 1;
    picture.setAttribute("aria-valuenow", (distance / size).toFixed(1));
    picture.setAttribute("aria-valuemin", "0");
    picture.setAttribute("aria-valuemax", (shown.near.distances.at(-1)! / size).toFixed(0));
    picture.setAttribute("aria-valuetext", words.split(" in a bad storm")[0]!);
  }

  /** A distance that was pulled is told: the field above holds it. */
  function pull(to: number): void {
    if (shown === null || shown.near === null) return;
    distance = Math.min(shown.near.distances.at(-1)!, Math.max(0.3, to));
    showWall();
  }

  function letGo(): void {
    if (shown === null || distance === null) return;
    const us = shown.proposal.yard.units === "us";
    const text = us ? `${Math.round(distance / 0.3048)} ft` : `${Number(distance.toFixed(1))} m`;
    setAnswer("houseToPit", text);
    schedule();
  }

  function showKeys(file: SiteJson): void {
    const list = byId("key-list");
    if (list.contains(document.activeElement)) return;
    const groups = new Map<string, HTMLElement>();
    const open = new Set([...list.querySelectorAll("details[open]")].map((each) => each.getAttribute("data-group")));
    list.replaceChildren();
    for (const { path, value } of fileKeys(file)) {
      const [, group = "", rest = ""] = /^([^.[]+)(.*)$/.exec(path)!;
      if (rest === "") continue;
      const details = groups.get(group) ?? document.createElement("details");
      if (!groups.has(group)) {
        groups.set(group, details);
        details.setAttribute("data-group", group);
        if (open.has(group)) details.setAttribute("open", "");
        details.append(made("summary", spaced(group)));
        list.append(details);
      }
      const row = document.createElement("div");
      row.className = "key";
      const label = document.createElement("label");
      label.textContent = spaced(rest.replace(/^\./, ""));
      const input = document.createElement("input");
      Object.assign(input, { type: "text", value: String(value), id: `key-${path}`, autocomplete: "off" });
      label.htmlFor = input.id;
      const wrong = made("p", "", "say");
      input.addEventListener("change", () => keyChanged(path, value, input.value.trim(), wrong));
      row.append(label, input, wrong);
      details.append(row);
    }
    byId("put-back").hidden = Object.keys(changes).length === 0;
  }

  function keyChanged(path: string, was: string | number | boolean, text: string, wrong: HTMLElement): void {
    const file = plainFile ?? shown?.file ?? null;
    if (file === null) return;
    const value = typeof was === "number" ? Number(text) : typeof was === "boolean" ? text === "true" : text;
    const next = withChanges(file, { [path]: value });
    try {
      readSite(next);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      wrong.textContent = error.problems
        .map(({ expected, got, where }) => `${where === path ? "" : `${where}: `}expected ${expected}, got ${got}`)
        .join("; ");
      return;
    }
    wrong.textContent = "";
    if (plainFile !== null) plainFile = next;
    else changes = { ...changes, [path]: value };
    byId("put-back").hidden = false;
    (document.activeElement as HTMLElement | null)?.blur();
    schedule();
  }

  function save(file: SiteJson): void {
    const link = byId("save");
    link.setAttribute("href", `data:application/json;charset=utf-8,${encodeURIComponent(fileText(file))}`);
    link.setAttribute("download", fileName(file));
  }

  async function open(file: File): Promise<void> {
    try {
      const problems: never[] = [];
      const json = parseJson(await file.text(), problems) as SiteJson;
      if (problems.length > 0) throw new InputError("The file cannot be opened:", problems);
      readSite(json);
      await openFile(json, file.name);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      byId("opened").textContent = ` ${file.name}: ${error.problems
        .slice(0, 3)
        .map(({ where, expected, got }) => `${where}: expected ${expected}, got ${got}`)
        .join("; ")}`;
    }
  }

  async function openFile(json: SiteJson, name: string): Promise<void> {
    for (const key of Object.keys(answers)) delete answers[key];
    changes = {};
    plainFile = null;
    distance = null;
    byId("opened").textContent = ` ${name} is open.`;
    if (json["survey"] === undefined) {
      plainFile = json;
      showAnswers();
      schedule();
      return;
    }
    Object.assign(
      answers,
      answersOf({ name: String(json["name"]), region: (json["region"] ?? "") as string, survey: json["survey"] } as Told),
    );
    const read = readAnswers(answers);
    const proposal = read.told === null ? null : await proposeWorks(yardOf(read.told));
    if (proposal?.kind === "works") {
      const hand = differences(proposal.file, json);
      if (hand !== null) changes = hand;
      else {
        plainFile = json;
        byId("opened").textContent =
          ` ${name} is open. It has other parts than this page proposes, so its figures are shown as they stand.`;
      }
    }
    showAnswers();
    schedule();
  }

  /** The fields hold what the answers hold. */
  function showAnswers(): void {
    const places = greatestOf([1, ...Object.keys(answers).map((key) => Number(/^reading (\d+) /.exec(key)?.[1] ?? 1))]);
    while (setUps().length > places) setUps().at(-1)!.remove();
    while (setUps().length < places) addSetUp();
    document.querySelectorAll<HTMLInputElement>("input[data-key]").forEach((input) => {
      input.value = (answers[input.dataset["key"]!] ?? "").replace(/^=/, "");
    });
    fills.show(
      Object.keys(answers)
        .filter((key) => /^fill \d/.test(key))
        .sort()
        .map((key) => answers[key]!),
    );
    for (const key of ["region", "soil", "groundwater", "wanted"]) showChips(key);
  }

  function setAnswer(key: string, text: string): void {
    answers[key] = text;
    const input = document.querySelector<HTMLInputElement>(`input[data-key="${key}"]`);
    if (input !== null && input !== document.activeElement) input.value = text.replace(/^=/, "");
  }

  function showChips(key: string): void {
    const text = (answers[key] ?? "").replace(/^=/, "");
    const word = key === "groundwater" ? (/^(seen|none)/.exec(text)?.[1] ?? text) : text;
    document.querySelectorAll<HTMLElement>(`[data-chip="${key}"]`).forEach((chip) => {
      chip.setAttribute("aria-pressed", String(chip.dataset["value"] === word));
    });
    const input = document.querySelector<HTMLInputElement>(`[data-typed="${key}"]`);
    if (input !== null && input !== document.activeElement) {
      const isChip = document.querySelector(`[data-chip="${key}"][aria-pressed="true"]`) !== null;
      input.value = key === "groundwater" ? text.replace(/^(?:seen|none|not known) ?/, "") : isChip ? "" : text;
    }
  }

  function setUps(): HTMLElement[] {
    return [...byId("set-ups").querySelectorAll<HTMLElement>(".set-up")];
  }

  /** One more place of the instrument, its fields those of the first. */
  function addSetUp(): void {
    const number = setUps().length + 1;
    const copy = setUps()[0]!.cloneNode(true) as HTMLElement;
    copy.dataset["setUp"] = String(number);
    copy.querySelector("legend")!.textContent = `Place ${number}: begin with a point that was read before`;
    for (const each of copy.querySelectorAll<HTMLElement>("[data-key], [data-say], [data-row], [data-hint], label, input")) {
      for (const name of ["key", "say", "row", "hint"] as const) {
        const at = each.dataset[name];
        if (at !== undefined) each.dataset[name] = at.replace(/^reading 1 /, `reading ${number} `);
      }
      if (each instanceof HTMLInputElement) each.value = "";
      for (const name of ["id", "for"]) if (each.hasAttribute(name)) each.setAttribute(name, `${each.getAttribute(name)!}-${number}`);
      if (each.dataset["say"] !== undefined) each.replaceChildren();
    }
    byId("set-ups").append(copy);
  }

  document.addEventListener("input", ({ target }) => {
    if (!(target instanceof HTMLInputElement)) return;
    const { key, typed } = target.dataset;
    if (key !== undefined) answers[key] = target.value;
    else if (typed === "groundwater")
      answers[typed] = `${/^(seen|none)/.exec(answers[typed] ?? "")?.[1] ?? "none"} ${target.value}`.trim();
    else if (typed !== undefined) answers[typed] = target.value;
    else return;
    if (typed !== undefined) showChips(typed);
    schedule();
  });
  document.addEventListener("click", ({ target }) => {
    const chip = (target as Element).closest<HTMLElement>("[data-chip], [data-quick]");
    if (chip === null) return;
    const key = chip.dataset["chip"] ?? chip.dataset["quick"]!;
    const value = chip.dataset["value"]!;
    if (chip.dataset["quick"] !== undefined) setAnswer(key, value);
    else if (key === "groundwater") {
      const input = document.querySelector<HTMLInputElement>('[data-typed="groundwater"]')!;
      answers[key] = value === "not known" ? value : `${value} ${input.value}`.trim();
      if (value !== "not known") input.focus();
    } else answers[key] = value;
    showChips(key);
    schedule();
  });
  // the keyboard's own key for the next field
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !(event.target instanceof HTMLInputElement)) return;
    const fields = [...document.querySelectorAll<HTMLInputElement>("main input[type=text]")].filter((each) => each.offsetParent !== null);
    event.preventDefault();
    const next = fields[fields.indexOf(event.target) + 1];
    if (next === undefined) event.target.blur();
    else next.focus();
  });
  byId("move").addEventListener("click", () => {
    addSetUp();
    showWords(readAnswers(answers));
    setUps().at(-1)!.querySelector("input")!.focus();
  });
  byId("add-reading").addEventListener("click", fills.addReading);
  byId("add-fill").addEventListener("click", fills.addFill);
  byId("put-back").addEventListener("click", () => {
    changes = {};
    schedule();
  });
  (byId("open") as HTMLInputElement).addEventListener("change", ({ target }) => {
    const [file] = (target as HTMLInputElement).files ?? [];
    if (file !== undefined) void open(file);
  });
  document.addEventListener("dragover", (event) => {
    event.preventDefault();
  });
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    const [file] = event.dataTransfer?.files ?? [];
    if (file !== undefined) void open(file);
  });
  const wall = byId("wall-picture");
  const place = (event: PointerEvent): number =>
    distanceAt(event.clientX - wall.getBoundingClientRect().left, wall.clientWidth, shown!.near!);
  wall.addEventListener("pointerdown", (event) => {
    if (shown === null || shown.near === null) return;
    wall.setPointerCapture(event.pointerId);
    pull(place(event));
  });
  wall.addEventListener("pointermove", (event) => {
    if (wall.hasPointerCapture(event.pointerId)) pull(place(event));
  });
  wall.addEventListener("pointerup", letGo);
  wall.addEventListener("keydown", ({ key }) => {
    const step = shown?.proposal.yard.units === "us" ? 0.3048 : 0.5;
    const by = key === "ArrowRight" || key === "ArrowUp" ? step : key === "ArrowLeft" || key === "ArrowDown" ? -step : 0;
    if (by === 0 || distance === null) return;
    pull(distance + by);
    letGo();
  });
  addEventListener("resize", () => {
    showSketches(readAnswers(answers));
    showWall();
  });
  showWords(readAnswers(answers));
}

/** The works on the page, and which change of the answers they belong to. */
interface Shown {
  readonly proposal: Proposal;
  readonly file: SiteJson | null;
  readonly near: NearHouse | null;
  readonly count: number;
}

function byId(id: string): HTMLElement {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`the page has no element ${id}`);
  return found;
}

function say(id: string, words: string): void {
  const place = byId(id);
  if (place.textContent !== words) place.textContent = words;
}

/** Markup of our own templates, in which every text is escaped. */
function put(id: string, picture: Markup | null): void {
  byId(id).innerHTML = picture?.markup ?? "";
}

function made(name: string, text: string, className = ""): HTMLElement {
  const element = document.createElement(name);
  element.textContent = text;
  if (className !== "") element.className = className;
  return element;
}

/** `chamberBank` as `chamber bank`. */
function spaced(key: string): string {
  return key
    .replace(/\[(\d+)\]/g, (_, index: string) => ` ${Number(index) + 1}`)
    .replaceAll(".", ", ")
    .replace(/([a-z])([A-Z])/g, (_, a: string, b: string) => `${a} ${b.toLowerCase()}`)
    .trim()
    .replace(/^, /, "");
}
