import { asItIs, editsOf, type EditKey, type LiveState } from "./liveState.ts";

/**
 * A state as the end of an address, short enough to be read and sent: `#storm=2&rain=3.4in&groundwater=none&hour=12`. What is
 * as the file has it is left out; the empty text is the file itself. What is changed of a storm that is not looked at carries
 * its number: `rain.3=2in`.
 *
 * @example addressOf({ storm: 1, hour: 12, edits: { rain: "3.4 in" } }); // => "#storm=2&rain=3.4in&hour=12"
 */
export function addressOf(state: LiveState): string {
  const parts: [string, string][] = [...editsOf(state)];
  if (state.storm !== 0) parts.unshift(["storm", String(state.storm + 1)]);
  if (state.hour !== null) parts.push(["hour", String(state.hour)]);
  for (const [storm, edits] of Object.entries(state.others ?? {})) {
    for (const [key, text] of editsOf({ edits })) parts.push([`${key}.${Number(storm) + 1}`, text]);
  }
  return parts.length === 0 ? "" : `#${parts.map(([key, text]) => `${key}=${readable(text)}`).join("&")}`;
}

/**
 * The state that an address holds; what is unknown in it is reported and left out; whether the rest can be run shows later.
 *
 * @param address  from its `#` on
 * @param storms   how many storms the file has
 */
export function stateOf(address: string, storms: number): { readonly state: LiveState; readonly unknown: readonly string[] } {
  const unknown: string[] = [];
  let { storm, hour } = asItIs;
  const edits: Partial<Record<EditKey, string>> = {};
  const others: Record<number, Partial<Record<"rain" | "duration", string>>> = {};
  for (const part of address.replace(/^#/, "").split("&")) {
    if (part === "") continue;
    const at = part.indexOf("=");
    const [key, text] = at < 0 ? [part, ""] : [part.slice(0, at), spoken(part.slice(at + 1))];
    const number = Number(text);
    if (key === "storm" && Number.isInteger(number) && number >= 1 && number <= storms) storm = number - 1;
    else if (key === "hour" && /^\d/.test(text) && Number.isFinite(number)) hour = number;
    else if (/^(?:rain|duration)\.[1-9]\d*$/.test(key) && text !== "" && Number(key.split(".")[1]) <= storms) {
      const [name, of] = key.split(".") as ["rain" | "duration", string];
      others[Number(of) - 1] = { ...others[Number(of) - 1], [name]: text };
    } else if (isEditKey(key) && text !== "") edits[key] = text;
    else unknown.push(part.slice(0, 60));
  }
  delete others[storm];
  return { state: { storm, hour, edits, ...(Object.keys(others).length === 0 ? {} : { others }) }, unknown };
}

const KEYS: ReadonlySet<string> = new Set(["rain", "duration", "groundwater", "trench", "chambers", "lid"]);

function isEditKey(key: string): key is EditKey {
  return KEYS.has(key) || /^soil[1-9]\d?$/.test(key);
}

/** `3.4 in` as `3.4in`, `5 ft 6 in` as `5ft+6in`: nothing in it that an address would have to hide. */
function readable(text: string): string {
  const short = text.replace(/(\d) (?=[^\d\s])/g, "$1");
  return encodeURIComponent(short).replace(/%20/g, "+").replace(/%2F/g, "/");
}

function spoken(text: string): string {
  try {
    return decodeURIComponent(text.replace(/\+/g, " "));
  } catch {
    // not an escape: as it stands
    return text;
  }
}
