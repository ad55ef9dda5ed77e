import { readSite } from "../site/readSite.ts";
import type { UnitSystem } from "../text/format.ts";
import { InputError } from "../text/problem.ts";
import { readQuantity } from "../text/quantity.ts";
import { typedQuantity } from "../text/typedQuantity.ts";
import { fileKeys, withChanges, type FileKey } from "../yard/fileKeys.ts";
import type { SiteJson } from "../yard/yardFile.ts";
import { byId, made, spaced } from "./elements.ts";

/**
 * The section of every figure of the works: a field for each value of a file, in groups that fold.
 *
 * @param changed  told of a figure that was changed to one with which the file can still be read
 */
export function showKeys(file: SiteJson, changed: (path: string, value: FileKey["value"]) => void): void {
  const list = byId("key-list");
  if (list.contains(document.activeElement)) return;
  const groups = new Map<string, HTMLElement>();
  const open = new Set([...list.querySelectorAll("details[open]")].map((each) => each.getAttribute("data-group")));
  list.replaceChildren();
  const { units } = readSite(file);
  for (const { path, value } of fileKeys(file)) {
    const [, first = "", inner = ""] = /^([^.[]+)(.*)$/.exec(path)!;
    // name and country of a yard that was told are asked above
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
 * What was typed in place of a value, read as kindly as above: a bare figure in the unit it had. A text where it is none of its kind, of
 * which the reader then says what it expected.
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
