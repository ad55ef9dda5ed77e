import { type Dimension, readQuantity } from "../text/quantity.ts";
import type { FileData } from "./editedFile.ts";

/** What can be changed on a live page; a layer's conductivity is `soil1` from the top down. */
export type EditKey = "rain" | "duration" | "groundwater" | "trench" | "chambers" | "lid" | `soil${number}`;

/** The changes made to a site file, each as a person would write it: `3.4 in`, `none`, `5`, `shut`. */
export type Edits = Readonly<Partial<Record<EditKey, string>>>;

/** What is changed of a storm, and not of the site. */
export type StormEdits = Pick<Edits, "rain" | "duration">;

/** All that a live page is at a moment, and all that its address tells. */
export interface LiveState {
  /** which of the file's storms, from 0 */
  readonly storm: number;
  /** the hour the section is drawn at; null: when the pit stands highest */
  readonly hour: number | null;
  /** of the site, and of the storm that is looked at */
  readonly edits: Edits;
  /** of storms that were looked at before, by their number */
  readonly others?: Readonly<Record<number, StormEdits>>;
}

/** The file as it is, in its first storm. */
export const asItIs: LiveState = Object.freeze({ storm: 0, hour: null, edits: Object.freeze({}) });

/** A state with one thing changed; null takes the change back. */
export function withEdit(state: LiveState, key: EditKey, text: string | null): LiveState {
  const edits: Partial<Record<EditKey, string>> = { ...state.edits };
  if (text === null) delete edits[key];
  else edits[key] = text;
  return { ...state, edits };
}

/** The changes one by one. */
export function editsOf({ edits }: Pick<LiveState, "edits">): [EditKey, string][] {
  return Object.entries(edits) as [EditKey, string][];
}

/** Another storm of the file on the site as it was changed; what was changed of the one before waits for its return. */
export function withStorm(state: LiveState, storm: number): LiveState {
  if (storm === state.storm) return state;
  const { rain, duration, ...site } = state.edits;
  const left: StormEdits = { ...(rain === undefined ? {} : { rain }), ...(duration === undefined ? {} : { duration }) };
  const { [storm]: waiting = {}, ...kept } = state.others ?? {};
  const others = { ...kept, ...(Object.keys(left).length === 0 ? {} : { [state.storm]: left }) };
  return { storm, hour: null, edits: { ...site, ...waiting }, ...(Object.keys(others).length === 0 ? {} : { others }) };
}

/** What the site file itself says where a change can be made; null where it says it in another way. */
export function originalText(file: FileData, key: EditKey, storm: number): string | null {
  const at = (...path: readonly (string | number)[]): unknown =>
    path.reduce<unknown>((part, step) => (typeof part === "object" && part !== null ? (part as Record<string | number, unknown>)[step] : undefined), file);
  const text = (value: unknown): string | null => (typeof value === "string" ? value : null);
  switch (key) {
    case "rain": return at("storms", storm, "climateFactor") === undefined ? text(at("storms", storm, "depth")) : null;
    case "duration": return text(at("storms", storm, "duration"));
    case "groundwater": return groundwaterText(at("chamberBank", "groundwaterLevel"), at("groundwater", "level"));
    case "trench": return text(at("overflowTrench", "length"));
    case "chambers": return String(((at("chamberBank", "chambers") ?? []) as { count?: number }[]).reduce((sum, { count = 1 }) => sum + count, 0));
    case "lid": return ((at("emitter", "heldShut") ?? []) as unknown[]).length > 0 ? "shut" : "free";
    default: return text(at("soil", "layers", Number(key.slice(4)) - 1, "conductivity"));
  }
}

/** Whether two texts say the same: `90 ft` and `90 feet` do. */
export function saysTheSame(a: string, b: string): boolean {
  if (a === b) return true;
  return DIMENSIONS.some((dimension) => {
    const [one, other] = [readQuantity(a, dimension), readQuantity(b, dimension)];
    return "value" in one && "value" in other && Math.abs(one.value - other.value) <= 1e-9 * Math.abs(one.value);
  });
}

const DIMENSIONS: readonly Dimension[] = ["length", "time", "speed"];

function groundwaterText(ofPit: unknown, ofSite: unknown): string | null {
  const level = ofPit ?? ofSite ?? null;
  if (level === null) return "none";
  const first: unknown = Array.isArray(level) ? (level[0] as { level?: unknown } | undefined)?.level : level;
  return typeof first === "string" ? first : null;
}
