import type { Handle } from "./handle.ts";

/**
 * What a key makes of a handle: arrows a step, page keys ten (or twice), Home and End its ends, as sliders are used everywhere.
 *
 * @returns  the new text; null for a key that means nothing here
 */
export function handleKey(handle: Pick<Handle, "step" | "ends">, key: string): string | null {
  switch (key) {
    case "ArrowUp": case "ArrowRight": return handle.step(1, false);
    case "ArrowDown": case "ArrowLeft": return handle.step(-1, false);
    case "PageUp": return handle.step(1, true);
    case "PageDown": return handle.step(-1, true);
    case "Home": return handle.ends[0];
    case "End": return handle.ends[1];
    default: return null;
  }
}
