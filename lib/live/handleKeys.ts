import type { Handle } from "./handle.ts";

/** What a key asks for: steps, small or large, or one of the ends. */
export type KeyPress = { readonly steps: number; readonly large: boolean } | { readonly to: string };

/**
 * What a key makes of a handle: arrows a step, page keys ten (or twice), Home and End its ends, as sliders are used everywhere.
 *
 * @returns  null for a key that means nothing here
 */
export function handleKey({ ends }: Pick<Handle, "ends">, key: string): KeyPress | null {
  switch (key) {
    case "ArrowUp": case "ArrowRight": return { steps: 1, large: false };
    case "ArrowDown": case "ArrowLeft": return { steps: -1, large: false };
    case "PageUp": return { steps: 1, large: true };
    case "PageDown": return { steps: -1, large: true };
    case "Home": return { to: ends[0] };
    case "End": return { to: ends[1] };
    default: return null;
  }
}
