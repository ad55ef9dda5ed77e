import { readQuantity, type Dimension } from "../text/quantity.ts";
import type { FileData } from "./editedFile.ts";
import type { EditKey } from "./liveState.ts";

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
