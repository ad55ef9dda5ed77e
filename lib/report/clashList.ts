import { clashes } from "../plan/clashes.ts";
import { takeOff } from "../plan/takeOff.ts";
import type { Site } from "../site/site.ts";
import { html, type Markup } from "./markup.ts";
import { shoreFrom } from "./papers/crewPaper.ts";
import { readerOf } from "./papers/reader.ts";
import { clashWords } from "./papers/words.ts";

/** What does not fit as drawn, and which pipes the steel of a shored pit meets, in the words of the crew's sheet; null where nothing. */
export function clashList(site: Site): Markup | null {
  const reader = readerOf(site.units === "us" ? "en-US" : "en-GB", site.units);
  const found = clashes(site, shoreFrom({ list: takeOff(site) }));
  const list = (title: string, of: typeof found): Markup | null => (of.length === 0 ? null : html`<h3>${title}</h3>
<ul class="notes">${of.map((clash) => html`<li>${clashWords(site, clash, reader)}</li>`)}</ul>`);
  const isSteel = ({ kind }: (typeof found)[number]): boolean => kind === "shoringAcrossPipe";
  return found.length === 0 ? null : html`${list(reader.say("clash.title"), found.filter((clash) => !isSteel(clash)))}
${list(reader.say("clash.steel"), found.filter(isSteel))}`;
}
