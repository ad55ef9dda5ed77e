import { plainText } from "../text/plainText.ts";
import { soilText } from "../figures/runSubtitle.ts";
import type { Run } from "../simulate/run.ts";
import { years } from "../upkeep/years.ts";
import { cautionSections } from "./cautionSections.ts";
import { clientSheet } from "./clientSheet.ts";
import { levelPart } from "./levelPart.ts";
import { fillTestPart } from "./fillTestPart.ts";
import { hangsOnPart } from "./hangsOnPart.ts";
import { html, type Markup } from "./markup.ts";
import { orderPart } from "./orderPart.ts";
import { pageFrame } from "./pageFrame.ts";
import { crossingNotice, sitingPart } from "./sitingPart.ts";
import { yearsPart } from "./yearsPart.ts";
import { capital } from "../text/words.ts";

/** The site's printed set, and what it is of. */
export interface Sheets {
  /** of the storm that the client's stills are taken from */
  readonly run: Run;
  readonly storm: string;
  /** a level that is known, and what the staff reads on it, as texts */
  readonly benchmark?: { readonly level: string; readonly reading: string };
}

/**
 * What a contractor leaves the site with, one sheet after the other: levels, order list, what stands around, the fill test to be filled
 * in, what to beware of, a sheet for the house, and the upkeep of the years. Made to be printed.
 */
export function sheetsPage({ run, storm, benchmark }: Sheets, options: { readonly plotly: string }): string {
  const { site } = run;
  const siting = sitingPart(site);
  const client = clientSheet(run, storm);
  const upkeep = yearsPart(years(site, { storms: [{ name: storm, load: run.rain ?? run.inflows }] }));
  return pageFrame({
    title: `${plainText(site.name, 60)}: sheets for the site`,
    header: html`<p class="place"><bdi>${plainText(site.name)}</bdi></p>
${crossingNotice(site)}
<h1>Sheets for the site</h1>
<p class="soil">${capital(soilText(site))}.</p>`,
    main: html`${sheet("levels", "Levels", levelPart(site, benchmark === undefined ? {} : { benchmark }))}
${sheet("order", "Order list", orderPart(site))}
${siting === null ? null : siting.section}
${fillTestPart(site).section}
${hangsOnPart([{ name: storm, run }]).section}
${cautionSections()}
${client.section}
${upkeep.section}`,
    pictures: [...(siting?.pictures ?? []), ...client.pictures, ...upkeep.pictures],
    plotly: options.plotly,
  });
}

function sheet(id: string, name: string, content: Markup): Markup {
  return html`<section class="sheet" id="${id}" aria-labelledby="${id}-name">
<h2 id="${id}-name">${name}</h2>
${content}
</section>`;
}
