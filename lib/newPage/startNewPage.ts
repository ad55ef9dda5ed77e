import { answerSentence } from "../figures/answer.ts";
import { takeOff } from "../plan/takeOff.ts";
import { frequencyCsv } from "../rain/storms/frequencyCsv.ts";
import { parseJson } from "../schema/parseJson.ts";
import { StoppedRun } from "../simulate/stoppedRun.ts";
import { readSite } from "../site/readSite.ts";
import { chamberCount } from "../study/resized.ts";
import { bulkText } from "../text/format.ts";
import { InputError, type Problem } from "../text/problem.ts";
import { differences, fileKeys, fileName, fileText, withChanges, type Changes } from "../yard/fileKeys.ts";
import { bookNote } from "../yard/bookNote.ts";
import { firstAnswers, runOf, type FirstAnswers } from "../yard/firstAnswers.ts";
import { nearHouse } from "../yard/nearHouse.ts";
import { proposeWorks, type Proposal, type WorksProposed } from "../yard/proposeWorks.ts";
import { answersOf, readAnswers, type AnswersRead } from "../yard/questions.ts";
import { yardOf, type Told } from "../yard/yard.ts";
import type { SiteJson } from "../yard/yardFile.ts";
import { answerFields } from "./answerFields.ts";
import { showFirst } from "./firstPart.ts";
import { byId, made, say } from "./elements.ts";
import { showWords } from "./fieldWords.ts";
import { fillRows } from "./fillRows.ts";
import { showKeys } from "./keyList.ts";
import { showSketches } from "./sketches.ts";
import { wallSlider } from "./wallSlider.ts";

/**
 * Wakes the page of a new yard: whatever is typed or tapped is read at once, drawn at once, and as soon as there is enough for it works
 * are proposed and the six questions answered. What is wrong or unlikely is said beside its field, and the last answers stay until there
 * are new ones.
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
      for (const id of ["wall", "keys", "keep"]) byId(id).hidden = true;
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
    for (const id of ["wall", "keys", "keep"]) byId(id).hidden = file === null;
    if (file !== null && proposal.kind === "works") {
      const { yard, site } = proposal;
      wall.show({ near: nearHouse(yard, site), units: yard.units }, yard.houseToPit);
      listKeys(file);
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
      for (const id of ["sharpen", "more"]) byId(id).replaceChildren();
      byId("six").replaceChildren(...storms.flatMap(({ name }) => [made("h3", name), made("p", answerSentence(runOf(site, name)))]));
      byId("keys").hidden = byId("keep").hidden = false;
      listKeys(file);
      save(file);
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

  function save(file: SiteJson): void {
    const link = byId("save");
    link.setAttribute("href", `data:application/json;charset=utf-8,${encodeURIComponent(fileText(file))}`);
    link.setAttribute("download", fileName(file));
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

  async function openFile(json: SiteJson, name: string): Promise<void> {
    for (const key of Object.keys(answers)) delete answers[key];
    changes = {};
    plainFile = null;
    wall.clear();
    byId("opened").textContent = ` ${name} is open.`;
    if (json["survey"] === undefined) {
      plainFile = json;
      fields.show();
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
  tellWords(readAnswers(answers));
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
