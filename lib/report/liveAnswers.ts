import { keptTogether } from "../text/keptTogether.ts";
import { exitsReached } from "../simulate/exits.ts";
import type { Run } from "../simulate/run.ts";
import { drainHead, drainWords } from "./drainWords.ts";
import { firingTable } from "./firingTable.ts";
import { html, type Markup } from "./markup.ts";
import { exitRows, wayOutSentences } from "./wayOut.ts";

/** What follows the pictures: where the water comes out, what the emitter does, and how the pit empties. */
export function liveAnswers(run: Run): Markup {
  const ways = [{ when: "asRun" as const, exits: exitsReached(run) }];
  const { first, others } = wayOutSentences(run, ways);
  return html`<h2 id="out-name">Where does the water come out? ${keptTogether(first)}</h2>
${others === "" ? null : html`<p>${keptTogether(others)}</p>`}
<div class="scroll" role="region" aria-labelledby="out-name" tabindex="0"><table>
<thead><tr><th scope="col">way out</th><th scope="col">level</th><th scope="col">reached</th></tr></thead>
<tbody>${exitRows(run, ways).map(({ words, level, cells }) => html`<tr><th scope="row"><bdi>${words}</bdi></th><td>${level}</td><td>${keptTogether(cells[0]!)}</td></tr>`)}</tbody>
</table></div>
${firingTable(run)}
<h3>${drainHead(run)}</h3>
<p>${drainWords(run)}</p>`;
}
