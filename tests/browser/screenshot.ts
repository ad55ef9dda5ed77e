import { mkdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { Page } from "playwright-core";

const folder = fileURLToPath(new URL("../../out/screenshots/", import.meta.url));

/** Writes the whole page, as long as it is, to out/screenshots/, for a person to look at. */
export async function screenshot(page: Page, name: string): Promise<void> {
  mkdirSync(folder, { recursive: true });
  await page.screenshot({ path: `${folder}${name}.png`, fullPage: true });
}
