import type { FileData } from "./editedFile.ts";
import { editsOf, type EditKey, type LiveState } from "./liveState.ts";
import { originalText } from "./originalText.ts";

/** What is changed from the file, in words, with what the file says; "" where nothing is. */
export function changedWords(file: FileData, state: LiveState): string {
  return editsOf(state).map(([key, text]) => {
    const was = originalText(file, key, state.storm);
    return `${changeName(key)} ${spoken(key, text)}${was === null ? "" : ` (the file says ${spoken(key, was)})`}`;
  }).join(", ");
}

/** What a change is a change of, in a word or two. */
export function changeName(key: EditKey): string {
  if (key.startsWith("soil")) return `soil layer ${key.slice(4)}`;
  return { rain: "rain", duration: "duration of the rain", groundwater: "groundwater", trench: "trench", chambers: "chambers", lid: "lid" }[key as "rain"];
}

function spoken(key: EditKey, text: string): string {
  if (key === "lid") return text === "shut" ? "stuck shut" : "free";
  return key === "groundwater" && text === "none" ? "far below" : text;
}
