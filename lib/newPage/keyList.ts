import { readSite } from "../site/readSite.ts";
import { InputError } from "../text/problem.ts";
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
    input.addEventListener("change", () => {
      const next = typeof value === "number" ? Number(input.value) : typeof value === "boolean" ? input.value.trim() === "true" : input.value.trim();
      const fault = faultOf(withChanges(file, { [path]: next }), path);
      wrong.textContent = fault;
      if (fault !== "") return;
      blur();
      changed(path, next);
    });
    row.append(label, input, wrong);
    details.append(row);
  }
}

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
