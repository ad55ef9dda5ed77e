import { displayUnits, threeFigures, type UnitSystem } from "./format.ts";

/** A sentence from its first word on. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/**
 * A share in whole percent as people write it: `66 %`, `under 1 %`, `over 99 %`.
 *
 * @param percent  the same where it was rounded so that several come to 100
 */
export function percentText(share: number, percent: number = Math.round(100 * share)): string {
  if (share > 0 && percent < 1) return "under 1 %";
  return share < 1 && percent === 100 ? "over 99 %" : `${percent} %`;
}

/** A small share in tenths of a percent: `0.3 %`, `less than 0.1 %`. */
export function tenthsText(share: number): string {
  return share > 0 && share < 0.001 ? "less than 0.1 %" : `${threeFigures(Math.round(share * 1000) / 10)} %`;
}

/**
 * A height of water, or what is to spare below an edge, as closely as it is known: to a tenth of an inch or millimetre
 * below ten of them, whole from there on, and from 100 mm on to the centimetre. Only elevations are written in feet or metres.
 *
 * @param height  [m], 0 or more
 */
export function heightText(height: number, units: UnitSystem): string {
  const { label, size } = displayUnits(units).depth;
  const shown = height / size;
  const step = shown < 9.95 ? 0.1 : units === "us" || shown < 99.5 ? 1 : 10;
  return `${Number((Math.round(shown / step) * step).toFixed(1))} ${label}`;
}

/** A temperature [degC]: `41 °F`, `5 °C`. */
export function temperatureText(temperature: number, units: UnitSystem): string {
  return units === "us" ? `${Math.round(1.8 * temperature + 32)} °F` : `${Math.round(10 * temperature) / 10} °C`;
}

/** Text as it stands between tags or in quotes of a page. */
export function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`);
}

/**
 * A person's text with what would steer a terminal, turn the reading direction or not be seen at all as escapes.
 *
 * @example visible("roof\u001b[31m"); // => "roof\\u001b[31m"
 */
export function visible(text: string): string {
  return text.replace(UNSEEN, (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`);
}

const UNSEEN = /[\p{Cc}\p{Cs}\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff]/gu;

/**
 * Things in a row: `a and b`, `a, b, and c`.
 *
 * @example listed(["a", "b", "c"], "or"); // => "a, b, or c"
 */
export function listed(parts: readonly string[], word: "and" | "or" = "and"): string {
  return parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")}${parts.length > 2 ? "," : ""} ${word} ${parts.at(-1)!}`;
}
