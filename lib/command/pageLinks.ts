import { basename } from "node:path";
import type { PageLink } from "../report/sitePage.ts";
import { exists } from "./files.ts";

/** The pages that lie beside a site's page: what was decided, its sheets, what was measured, and the sites that were asked for with it. */
export async function pageLinks(page: string, sisters: readonly string[]): Promise<PageLink[]> {
  const links: PageLink[] = [];
  for (const [suffix, words] of BESIDE) {
    const path = page.replace(/\.html$/, `${suffix}.html`);
    if (await exists(path)) links.push({ words, href: hrefOf(path) });
  }
  return [...links, ...sisters.filter((path) => path !== page).map((path) => ({ words: basename(path, ".html"), href: hrefOf(path) }))];
}

const BESIDE: readonly (readonly [suffix: string, words: string])[] = [
  ["-decide", "what to decide"], ["-sheets", "sheets for the site"], ["-measured", "what was measured"],
];

/** The address of a file in the same folder. */
function hrefOf(path: string): string {
  return encodeURIComponent(basename(path));
}
