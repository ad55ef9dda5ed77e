import { existsSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { type Browser, chromium, type Page } from "playwright-core";

/** What a page did while it was opened and drawn. */
export interface OpenedPage {
  readonly page: Page;
  /** errors thrown, promises failed, and what the browser itself called an error */
  readonly errors: readonly string[];
  /** addresses asked for beyond the disk; none was answered */
  readonly outsideRequests: readonly string[];
  /** places meant for a plot, and those among them where plotly has drawn one */
  readonly plots: { readonly places: number; readonly drawn: number };
}

const places = ".picture, .soakstep-plot, .js-plotly-plot";

/** The machine's Chromium, cut off from every network. Another than Debian's is named by the variable CHROMIUM. */
export async function startBrowser(): Promise<Browser> {
  const executablePath = process.env["CHROMIUM"] ?? "/usr/bin/chromium";
  if (!existsSync(executablePath)) {
    throw new Error(`expected the browser ${executablePath}, got none: install it with \`apt-get install chromium\``);
  }
  return chromium.launch({ executablePath, args: ["--no-sandbox", "--host-resolver-rules=MAP * ~NOTFOUND"] });
}

/** Opens a page from disk and waits until every plot on it is drawn, or patience ends. */
export async function openPage(browser: Browser, path: string, width: number, patience_ms: number = 10_000): Promise<OpenedPage> {
  const context = await browser.newContext({ viewport: { width, height: 900 } });
  const page = await context.newPage();
  const errors: string[] = [];
  const outsideRequests: string[] = [];
  page.on("pageerror", (error) => errors.push(String(error)));
  page.on("console", (message) => {
    if (message.type() === "error") errors.push(message.text());
  });
  page.on("websocket", (socket) => outsideRequests.push(socket.url()));
  await page.route(/^(?!file:|data:|blob:)/, (route) => {
    outsideRequests.push(route.request().url());
    return route.abort();
  });
  await page.goto(pathToFileURL(path).href);
  const plots = await drawnPlots(page, patience_ms);
  return { page, errors, outsideRequests, plots };
}

async function drawnPlots(page: Page, patience_ms: number): Promise<OpenedPage["plots"]> {
  const end = Date.now() + patience_ms;
  for (;;) {
    const plots = {
      places: await page.locator(places).count(),
      drawn: await page.locator(`:is(${places}):has(:is(svg.main-svg :is(.trace, .shapelayer) path, .drawn svg, .drawing svg))`).count(),
    };
    if ((plots.places > 0 && plots.drawn === plots.places) || Date.now() > end) return plots;
    await page.waitForTimeout(50);
  }
}
