import type { UnitSystem } from "../text/format.ts";
import type { HandleKey } from "./handle.ts";

/**
 * What a person typed, in the words of a site file: the page's own words for no groundwater are taken, and a bare number is in the
 * unit that the page shows there.
 *
 * @example typedText("groundwater", "far below", "us"); // => "none"
 * @example typedText("rain", "2.5", "us"); // => "2.5 in"
 */
export function typedText(key: HandleKey, text: string, units: UnitSystem): string {
  const said = text.trim();
  if (key === "groundwater" && /^(?:(?:groundwater )?far below|none|never|no)$/i.test(said)) return "none";
  if (key === "lid" || key === "chambers" || !/^[-+]?[\d.]+$/.test(said)) return said;
  return `${said} ${UNITS[key.startsWith("soil") ? "soil" : key as keyof typeof UNITS][units]}`;
}

const UNITS = Object.freeze({
  rain: { us: "in", si: "mm" }, duration: { us: "h", si: "h" }, hour: { us: "h", si: "h" }, groundwater: { us: "ft", si: "m" },
  trench: { us: "ft", si: "m" }, place: { us: "m", si: "m" }, soil: { us: "in/hr", si: "mm/h" },
});
