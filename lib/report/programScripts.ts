import { html, trusted, type Markup } from "./markup.ts";

/** A program as a page carries it: deflated and in base64, which is half of its length, with the notices of what it is made of. */
export interface PageProgram {
  readonly packed: string;
  readonly notices: string;
  /** whether its stepper is WebAssembly, which a page's policy then has to allow */
  readonly isWasm: boolean;
}

/** The program of a page, and the few lines that unpack and start it; where a browser cannot, the drawings stay as they are. */
export function programScripts({ packed, notices }: PageProgram): Markup {
  return html`<script type="text/plain" id="notices">${trusted(notices.replace(/<(?=[/!])/g, "< "))}</script>
<script type="text/plain" id="program">${packed}</script>
<script>(async function () {
  var packed = atob(document.getElementById("program").textContent), bytes = new Uint8Array(packed.length);
  for (var i = 0; i < packed.length; i++) bytes[i] = packed.charCodeAt(i);
  var program = document.createElement("script");
  program.textContent = await new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"))).text();
  document.body.append(program);
})();</script>`;
}
