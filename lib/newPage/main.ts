import { answerSentence } from "../figures/answer.ts";
import { takeOff } from "../plan/takeOff.ts";
import { frequencyCsv } from "../rain/storms/frequencyCsv.ts";
import { parseJson } from "../schema/parseJson.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import { readSite } from "../site/readSite.ts";
import { chamberCount } from "../study/resized.ts";
import { bulkText, type UnitSystem } from "../text/format.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { readQuantity } from "../text/quantity.ts";
import { typedQuantity } from "../text/typedQuantity.ts";
import { bookNote } from "./sketches.ts";
import { fieldId } from "../yard/fieldId.ts";
import { type Changes, differences, type FileKey, fileKeys, fileName, fileText, notesIn, notesName, notesText, withChanges } from "../yard/fileKeys.ts";
import { firstAnswers, type FirstAnswers, runOf } from "../yard/firstAnswers.ts";
import { nearHouse } from "../yard/nearHouse.ts";
import { type Proposal, proposeWorks, type WorksProposed } from "../yard/proposeWorks.ts";
import { type Answers, answersOf, type AnswersRead, questions, readAnswers } from "../yard/questions.ts";
import { tableWords } from "../yard/tableWords.ts";
import { type Told, yardOf } from "../yard/yard.ts";
import type { SiteJson } from "../yard/yardFile.ts";
import { answerFields } from "./answerFields.ts";
import { byId, made, say, spaced } from "./elements.ts";
import { fillRows } from "./fillRows.ts";
import { showSketches } from "./sketches.ts";
import { wallSlider } from "./wallSlider.ts";

/**
 * Wakes the page of a new yard: whatever is typed or tapped is read at once, drawn at once, and as soon as there is enough for it works
 * are proposed and the six questions answered. What is wrong or unlikely is said beside its field, and the last answers stay until there
 * are new ones.
 */
function startNewPage(): void {
  const answers: Record<string, string> = {};
  let changes: Changes = {};
  /** a file without a survey: its figures alone are shown and changed */
  let plainFile: SiteJson | null = null;
  let shown: Shown | null = null;
  let turn = 0;
  let count = 0;
  let waiting: ReturnType<typeof setTimeout> | undefined;
  const fills = fillRows(byId("fills"), () => {
    Object.assign(answers, fills.texts());
    schedule();
  });
  const fields = answerFields(answers, fills, schedule, () => tellWords(readAnswers(answers)));
  const wall = wallSlider((distance) => {
    fields.set("houseToPit", distance);
    schedule();
  });

  function tellWords(read: AnswersRead): void {
    showWords(read, answers, (key) => {
      answers[key] = `=${answers[key]!}`;
      schedule();
    });
  }

  /** Works of figures that have changed since are not drawn. */
  function sketch(read: AnswersRead): void {
    showSketches(read, shown?.proposal.kind === "works" && shown.count === count ? shown.proposal : null);
  }

  /** Words and sketches follow at once; works, which take longer, once nothing has been typed for a moment. */
  function schedule(): void {
    remember();
    const read = readAnswers(answers);
    byId("answers").dataset["told"] = String(++count);
    byId("progress").textContent = factsWords(read);
    say("book", bookNote(read.draft, read.units));
    tellWords(read);
    sketch(read);
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
      keep(null);
      showBar(read, null);
      return;
    }
    byId("lacking").textContent = "The answers are being reckoned …";
    try {
      const yard = yardOf(read.told);
      const proposal = await proposeWorks(yard);
      const { proposal: changed, words } = proposal.kind === "works" ? withHand(proposal) : { proposal, words: "" };
      const first = await firstAnswers(changed);
      if (mine !== turn) return;
      say("lacking", words);
      show(read, changed, first);
    } catch (error) {
      if (!(error instanceof InputError) && !(error instanceof StoppedRun)) throw error;
      if (mine !== turn) return;
      const words =
        error instanceof InputError
          ? error.problems
              .map(({ where, expected, got }) =>
                where === "survey.setUps" && expected === "readings that close" ? `Nothing can be said from these readings. ${got}` : `${where}: expected ${expected}, got ${got}`,
              )
              .join(" ")
          : error.message;
      byId("lacking").textContent = words;
      for (const id of ["six", "sharpen", "more"]) byId(id).replaceChildren();
      for (const id of ["wall", "keys"]) byId(id).hidden = true;
      keep(null);
      showBar(read, null);
    }
  }

  /** The proposal with the figures that were changed by hand; those that the file no longer has are let go. */
  function withHand(proposal: WorksProposed): { readonly proposal: WorksProposed; readonly words: string } {
    const known = new Set(fileKeys(proposal.file).map(({ path }) => path));
    changes = Object.fromEntries(Object.entries(changes).filter(([path]) => known.has(path)));
    if (Object.keys(changes).length === 0) return { proposal, words: "" };
    const file = withChanges(proposal.file, changes);
    try {
      const site = readSite(file);
      return { proposal: { ...proposal, file, site, chambers: chamberCount(site) }, words: "" };
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      const said = error.problems.map(({ where, expected, got }) => `${where}: expected ${expected}, got ${got}`).join("; ");
      return { proposal, words: `With the figures changed by hand: ${said}. The proposal without them is shown.` };
    }
  }

  function show(read: AnswersRead, proposal: Proposal, first: FirstAnswers): void {
    const file = proposal.kind === "works" ? proposal.file : null;
    shown = { proposal, file, count };
    showFirst(first);
    sketch(read);
    for (const id of ["wall", "keys"]) byId(id).hidden = file === null;
    keep(file);
    if (file !== null && proposal.kind === "works") {
      const { yard, site } = proposal;
      wall.show({ near: nearHouse(yard, site), units: yard.units }, yard.houseToPit);
      listKeys(file);
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
      for (const id of ["sharpen", "more"]) byId(id).replaceChildren();
      byId("six").replaceChildren(...storms.flatMap(({ name }) => [made("h3", name), made("p", answerSentence(runOf(site, name)))]));
      byId("keys").hidden = false;
      listKeys(file);
      keep(file);
    } catch (error) {
      if (!(error instanceof InputError) && !(error instanceof StoppedRun)) throw error;
      byId("lacking").textContent = error.message;
    }
  }

  function lackingWords({ lacking, problems, waiting, facts }: AnswersRead): string {
    const wrong = Object.keys(problems).length;
    if (wrong > 0) return wrong === 1 ? "One field above cannot be read yet." : `${wrong} fields above cannot be read yet.`;
    if (lacking.length === 0) return Object.values(waiting).join(" ");
    return `${facts} of the twelve facts are told. Before anything can be said it still needs ${lacking.join(", ")}.`;
  }

  function showBar(read: AnswersRead, proposal: Proposal | null): void {
    byId("progress").textContent = factsWords(read);
    byId("brief").textContent =
      proposal === null
        ? "Answers"
        : proposal.kind === "impossible"
          ? "Not as told"
          : `${chamberCount(proposal.site)} ${chamberCount(proposal.site) === 1 ? "chamber" : "chambers"}, ${bulkText(takeOff(proposal.site).dig.volume, proposal.yard.units)} to dig`;
  }

  function listKeys(file: SiteJson): void {
    showKeys(file, (path, value) => {
      if (plainFile !== null) plainFile = withChanges(plainFile, { [path]: value });
      else changes = { ...changes, [path]: value };
      byId("put-back").hidden = false;
      schedule();
    });
    byId("put-back").hidden = Object.keys(changes).length === 0;
  }

  /** The way to save: the site file, or, until there is one, the answers. */
  function keep(file: SiteJson | null): void {
    byId("keep").hidden = file === null && Object.values(answers).every((text) => text.trim() === "");
    const link = byId("save");
    link.setAttribute("href", `data:application/json;charset=utf-8,${encodeURIComponent(file === null ? notesText(answers) : fileText(file))}`);
    link.setAttribute("download", file === null ? notesName(answers) : fileName(file));
    link.textContent = file === null ? "Save what was told" : "Save the site file";
    byId("keep-hint").textContent = file === null
      ? "Notes, not a site file yet. Dropped on this page they open again, and soakstep new goes on from them."
      : "An ordinary site file of soakstep. Dropped on this page it opens again; a computer makes its report, its studies and its sheets.";
  }

  /** A page that is loaded again, or that the phone has put away meanwhile, goes on where it was. */
  function remember(): void {
    const kept: Kept = { answers, changes, plainFile };
    history.replaceState(kept, "");
  }

  function recall(kept: unknown): void {
    if (!isKept(kept)) return;
    Object.assign(answers, kept.answers);
    ({ changes, plainFile } = kept);
    fields.show();
    schedule();
  }

  async function open(file: File): Promise<void> {
    try {
      const text = await file.text();
      if (/\.csv$/i.test(file.name)) {
        openTable(text, file.name);
        return;
      }
      const problems: Problem[] = [];
      const json = parseJson(text, problems) as SiteJson;
      if (problems.length > 0) throw new InputError("The file cannot be opened:", problems);
      const notes = notesIn(json);
      if (notes !== null) {
        openAnswers(notes, file.name);
        fields.show();
        schedule();
        return;
      }
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

  /** The town's table of rain, in place of a depth that was typed. */
  function openTable(text: string, name: string): void {
    answers["rain table"] = JSON.stringify(frequencyCsv(text).table);
    fields.set("rain", "");
    byId("opened").textContent = ` ${name} is read.`;
    schedule();
  }

  /** Answers of a file in place of those on the page. */
  function openAnswers(of: Answers, name: string): void {
    for (const key of Object.keys(answers)) delete answers[key];
    Object.assign(answers, of);
    changes = {};
    plainFile = null;
    wall.clear();
    byId("opened").textContent = ` ${name} is open.`;
  }

  async function openFile(json: SiteJson, name: string): Promise<void> {
    const survey = json["survey"];
    openAnswers(
      survey === undefined ? {} : answersOf({ name: String(json["name"]), region: (json["region"] ?? "") as string, survey } as Told),
      name,
    );
    if (survey === undefined) {
      plainFile = json;
      fields.show();
      schedule();
      return;
    }
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
    fields.show();
    schedule();
  }

  byId("add-reading").addEventListener("click", fills.addReading);
  byId("add-fill").addEventListener("click", fills.addFill);
  byId("put-back").addEventListener("click", () => {
    changes = {};
    schedule();
  });
  for (const id of ["open", "rain-file"]) {
    byId(id).addEventListener("change", ({ target }) => {
      const [file] = target instanceof HTMLInputElement && target.files !== null ? target.files : [];
      if (file !== undefined) void open(file);
    });
  }
  document.addEventListener("dragover", (event) => {
    event.preventDefault();
  });
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    const [file] = event.dataTransfer?.files ?? [];
    if (file !== undefined) void open(file);
  });
  addEventListener("resize", () => {
    sketch(readAnswers(answers));
    wall.draw();
  });
  // a way to a field within the page is another entry of the browser's history
  addEventListener("hashchange", remember);
  tellWords(readAnswers(answers));
  recall(history.state);
}

/** What the browser keeps of the page. */
interface Kept {
  readonly answers: Answers;
  readonly changes: Changes;
  readonly plainFile: SiteJson | null;
}

function isKept(state: unknown): state is Kept {
  return typeof state === "object" && state !== null && "answers" in state && "changes" in state && "plainFile" in state;
}

function factsWords({ facts }: AnswersRead): string {
  return `${facts} of 12 facts`;
}

/** The works on the page, and which change of the answers they belong to. */
interface Shown {
  readonly proposal: Proposal;
  readonly file: SiteJson | null;
  readonly count: number;
}

/** The six answers as one screen, under it what each further fact would sharpen, each a way to its field, and what stands behind them. */
function showFirst({ answers, sharpeners }: FirstAnswers): void {
  byId("six").replaceChildren(
    ...answers.map(({ question, answer, band }) => {
      const one = document.createElement("div");
      one.append(made("h3", question), made("p", answer), ...(band === "" ? [] : [made("p", band, "band")]));
      return one;
    }),
  );
  const list = document.createElement("ul");
  for (const { key, fact, words, how } of sharpeners) {
    const item = document.createElement("li");
    const link = document.createElement("a");
    link.href = `#${fieldId(key)}`;
    link.textContent = fact;
    item.append(link, `: ${words}.${how === "" ? "" : ` ${how}`}`);
    list.append(item);
  }
  byId("sharpen").replaceChildren(...(sharpeners.length === 0 ? [] : [made("h3", "What each further fact would sharpen"), list]));
  byId("more").replaceChildren(
    ...answers.filter(({ more }) => more.length > 0)
      .flatMap(({ question, more }) => [made("h3", question), ...more.map((words) => made("p", words))]),
  );
}

/**
 * Words beside the fields: what cannot be read, what is asked back, units and hints of the place, and the parts of the hole that are asked.
 *
 * @param answers  as they were typed
 * @param meant    called with the key of an answer that was asked back and confirmed
 */
function showWords(
  { problems, waiting, asks, units, draft }: AnswersRead, answers: Readonly<Record<string, string>>, meant: (key: string) => void,
): void {
  document.querySelectorAll<HTMLElement>("[data-say]").forEach((place) => {
    const key = place.dataset["say"]!;
    const problem = problems[key] ?? waiting[key];
    const ask = asks[key];
    const text = problem ?? ask ?? "";
    if (place.firstChild?.textContent === text && text !== "") return;
    place.replaceChildren(...(text === "" ? [] : [document.createTextNode(text)]));
    if (ask === undefined || problem !== undefined) return;
    const yes = document.createElement("button");
    yes.type = "button";
    yes.textContent = "Yes";
    yes.addEventListener("click", () => meant(key));
    place.append(" ", yes);
  });
  byId("rain-said").textContent = draft["rainfall"] === undefined ? "" : tableWords(draft["rainfall"], units);
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
    place.textContent = known ? unit.replace("^2", "²") : "";
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

/**
 * The section of every figure of the works: a field for each value of a file, in groups that fold.
 *
 * @param changed  called with a figure that was changed, if the file can still be read with it
 */
function showKeys(file: SiteJson, changed: (path: string, value: FileKey["value"]) => void): void {
  const list = byId("key-list");
  if (list.contains(document.activeElement)) return;
  const groups = new Map<string, HTMLElement>();
  const open = new Set([...list.querySelectorAll("details[open]")].map((each) => each.getAttribute("data-group")));
  list.replaceChildren();
  const { units } = readSite(file);
  for (const { path, value } of fileKeys(file)) {
    const [, first = "", inner = ""] = /^([^.[]+)(.*)$/.exec(path)!;
    // name and country of a yard are asked above
    if (inner === "" && file["survey"] !== undefined && ["name", "region"].includes(first)) continue;
    const [group, rest] = inner === "" ? ["site", first] : [first, inner];
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
    const take = (next: FileKey["value"]): void => {
      const fault = faultOf(withChanges(file, { [path]: next }), path);
      wrong.textContent = fault;
      if (fault !== "") return;
      blur();
      changed(path, next);
    };
    input.addEventListener("change", () => {
      const { next, ask } = typedAs(value, input.value.trim(), units);
      if (ask === null) {
        take(next);
        return;
      }
      const yes = made("button", `Yes, ${String(next)}`);
      yes.setAttribute("type", "button");
      yes.addEventListener("click", () => {
        take(next);
      });
      wrong.replaceChildren(made("span", `${ask} `), yes);
    });
    row.append(label, input, wrong);
    details.append(row);
  }
}

/**
 * What was typed in place of a value, read as kindly as above: a bare figure takes the unit it had. What cannot be read so stays text, and
 * the site file's reader says what it expected.
 */
function typedAs(before: FileKey["value"], text: string, units: UnitSystem): { readonly next: FileKey["value"]; readonly ask: string | null } {
  if (typeof before === "number") {
    const number = Number(text.replace(",", "."));
    return { next: text === "" || Number.isNaN(number) ? text : number, ask: null };
  }
  if (typeof before === "boolean") return { next: /^(?:true|false)$/.test(text) ? text === "true" : text, ask: null };
  const dimension = DIMENSIONS.find((each) => "value" in readQuantity(before, each));
  if (dimension === undefined) return { next: text, ask: null };
  const unit = /^[-+]?[\d.]+ ?([a-z°"'].*)$/i.exec(before)?.[1] ?? (units === "us" ? "ft" : "m");
  const typed = typedQuantity(text, { dimension, unit, units });
  return "problem" in typed ? { next: text, ask: null } : { next: typed.text, ask: typed.ask };
}

const DIMENSIONS = ["length", "area", "speed", "time"] as const;

/** What is wrong with the file after a change, in words; "" where it can be read. */
function faultOf(file: SiteJson, path: string): string {
  try {
    readSite(file);
    return "";
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return error.problems.map(({ expected, got, where }) => `${where === path ? "" : `${where}: `}expected ${expected}, got ${got}`).join("; ");
  }
}

function blur(): void {
  if (document.activeElement instanceof HTMLElement) document.activeElement.blur();
}

// What the browser runs: the page of a new yard, empty.
startNewPage();
