import { greatestOf } from "../numerics/extremes.ts";
import { byId } from "./elements.ts";
import type { FillRows } from "./fillRows.ts";

/** Fields and chips of the questions, which hold what the answers hold. */
export interface AnswerFields {
  /** puts all answers into their fields */
  readonly show: () => void;
  /** an answer that was not typed into its own field */
  readonly set: (key: string, text: string) => void;
}

/**
 * @param answers  by the key of their question, written into as they are typed and tapped
 * @param changed  called after every change
 * @param moved    called when the instrument was moved
 */
export function answerFields(answers: Record<string, string>, fills: FillRows, changed: () => void, moved: () => void): AnswerFields {
  /** The fields hold what the answers hold. */
  function show(): void {
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

  function set(key: string, text: string): void {
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
    if (key === "rain") delete answers["rain table"];
    if (key !== undefined) answers[key] = target.value;
    else if (typed === "groundwater")
      answers[typed] = `${/^(seen|none)/.exec(answers[typed] ?? "")?.[1] ?? "none"} ${target.value}`.trim();
    else if (typed !== undefined) answers[typed] = target.value;
    else return;
    if (typed !== undefined) showChips(typed);
    changed();
  });
  document.addEventListener("click", ({ target }) => {
    const chip = (target as Element).closest<HTMLElement>("[data-chip], [data-quick]");
    if (chip === null) return;
    const key = chip.dataset["chip"] ?? chip.dataset["quick"]!;
    const value = chip.dataset["value"]!;
    if (key === "rain") delete answers["rain table"];
    if (chip.dataset["quick"] !== undefined) set(key, value);
    else if (key === "groundwater") {
      const input = document.querySelector<HTMLInputElement>('[data-typed="groundwater"]')!;
      answers[key] = value === "not known" ? value : `${value} ${input.value}`.trim();
      if (value !== "not known") input.focus();
    } else answers[key] = value;
    showChips(key);
    changed();
  });
  // the keyboard's own key for the next field; one in a folded group takes no focus
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !(event.target instanceof HTMLInputElement)) return;
    const fields = [...document.querySelectorAll<HTMLInputElement>("main input[type=text]")].filter((each) => each.checkVisibility());
    event.preventDefault();
    const next = fields[fields.indexOf(event.target) + 1];
    if (next === undefined) event.target.blur();
    else next.focus();
  });
  byId("move").addEventListener("click", () => {
    addSetUp();
    moved();
    setUps().at(-1)!.querySelector("input")!.focus();
  });
  return { show, set };
}
