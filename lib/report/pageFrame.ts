import { html, trusted, type Markup } from "./markup.ts";
import { pageStyle } from "./pageStyle.ts";

/** What a page holds; its pictures are drawings in it. */
export interface Page {
  /** of the window, plain text */
  readonly title: string;
  readonly header: Markup;
  readonly main: Markup;
  /** what a page with a program has over one without: its style, and scripts at its end under a policy of their own */
  readonly live?: { readonly style: string; readonly scripts: Markup; readonly policy: string };
}

/** A whole page in one file, which works from disk, without a script, and asks for nothing from outside. */
export function pageFrame({ title, header, main, live }: Page): string {
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${live?.policy ?? POLICY}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title}</title>
<style>${trusted(pageStyle)}${trusted(live?.style ?? "")}</style>
</head>
<body${live === undefined ? null : trusted(' class="live"')}>
<a class="skip" href="#answers">To the answers</a>
<div class="page">
<header>
${header}
</header>
<main id="answers">
${main}
</main>
<footer><p>Made by soakstep: a water balance of every body, stepped through the storm. Hours of a storm count from the beginning of its rain, times to half empty and to empty from when the pit was last full, levels from the site's own datum.<span id="stepper"></span></p></footer>
</div>
${live?.scripts ?? null}
</body>
</html>
`.markup;
}

/** Nothing from outside, whatever a page may hold, and no script. */
const POLICY = policy("'none'");

/** Of a page with its own program; a program whose stepper is WebAssembly has to be allowed to compile that. */
export function livePolicy(isWasm: boolean): string {
  return policy(`'unsafe-inline'${isWasm ? " 'wasm-unsafe-eval'" : ""}`);
}

function policy(script: string): string {
  return [
    "default-src 'none'", `script-src ${script}`, "style-src 'unsafe-inline'", "img-src data: blob:", "font-src data:",
    // which the default does not hold for
    "base-uri 'none'", "form-action 'none'",
  ].join("; ");
}
