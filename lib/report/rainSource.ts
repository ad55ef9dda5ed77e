import { plainText } from "../text/plainText.ts";
import type { Site } from "../site/site.ts";
import { html, type Markup } from "./markup.ts";

/** Where the rain of the studies is from, for their page; null where the file does not say. */
export function rainSource({ studies }: Site): Markup | null {
  const rainfall = studies?.rainfall ?? null;
  if (rainfall === null) return null;
  const { source, place, date, m5_60, r } = rainfall;
  if (typeof m5_60 === "string") return html`<p>Rain of the place: M5-60 ${plainText(m5_60)} and r ${String(r)}, with the UK’s factors (from memory).</p>`;
  const parts = [source, place, date].filter((each): each is string => typeof each === "string" && each !== "");
  return parts.length === 0 ? null : html`<p>Rain of the place: ${plainText(parts.join("; "))}.</p>`;
}
