import { textureNames } from "../ground/soilTexture.ts";
import { FONT, ink, lines } from "../figures/look.ts";
import { cautions } from "../report/cautions.ts";
import { html, trusted, type Markup } from "../report/markup.ts";
import { livePolicy } from "../report/pageFrame.ts";
import { regionName } from "../site/region.ts";
import { surveyPoints, wishes } from "../site/surveyField.ts";
import { fieldId } from "./fieldId.ts";
import { offeredCountries, questions, type Question } from "./questions.ts";

/** What the page of a new yard is made of. */
export interface NewPageParts {
  /** source of its program (dist/newPage/page.js or scriptPage.js) */
  readonly program: string;
  /** whether the stepper of that program is WebAssembly, which the page's policy then has to allow */
  readonly isWasm: boolean;
}

/**
 * The page on which a yard is described from nothing: `soakstep new` without a terminal, for a phone on a lawn. One file that works from
 * disk and asks for nothing from outside; it draws while answers come in, proposes works, saves a site file and opens it again.
 */
export function newPage({ program, isWasm }: NewPageParts): string {
  const of = (key: string): Question => questions.find((each) => each.key === key)!;
  return html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta
          http-equiv="Content-Security-Policy"
          content="${livePolicy(isWasm)}"
        />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>A new yard</title>
        <style>
          ${trusted(STYLE)}
        </style>
      </head>
      <body>
        <div class="page">
          <header>
            <h1>A yard in ten minutes</h1>
            <p>
              Tell what you know, in this order; leave out what you do not. Twelve facts make a first answer. Nothing leaves this page.
            </p>
            <p class="open">
              <label class="button" for="open">Open a saved yard</label
              ><input type="file" id="open" accept=".json,application/json" /><span id="opened" role="status"></span>
            </p>
          </header>
          <main>
            <section>
              <h2>Where</h2>
              ${typedRow(of("name"))}
              ${chipRow(
                of("region"),
                offeredCountries.map((code) => ({ value: code, text: regionName(code)! })),
                "or its code, such as JP",
              )}
              <p class="units" id="units">Feet and inches, or metres: the country decides.</p>
              ${typedRow(of("rain"), "not known")}
              <p class="open">
                <label class="button" for="rain-file">The town's table, from a file</label
                ><input type="file" id="rain-file" accept=".csv,text/csv" /><span id="rain-said" role="status"></span>
              </p>
              <p class="hint">It takes the CSV of the US server of rain depths. Elsewhere type the depth of the hour above.</p>
            </section>
            <section>
              <h2>Roof</h2>
              ${typedRow(of("roof"))}
              <div class="picture" id="roof-picture"></div>
            </section>
            <section>
              <h2>Readings on the staff</h2>
              <p class="hint">
                Down from the line of sight: the lower the ground, the larger the reading. A string and a level do: measure down from the
                string. Take the last one at the benchmark again.
              </p>
              <div id="set-ups">${setUp(1)}</div>
              <p><button type="button" id="move">The instrument was moved</button></p>
              <p class="say" id="book" role="status"></p>
              <div class="picture" id="ground-picture"></div>
            </section>
            <section>
              <h2>Distances</h2>
              ${["boxToPit", "pitToLid", "houseToPit", "lidToLowPoint"].map((key) => typedRow(of(key)))}
              <details>
                <summary>By tape from two corners of the house</summary>
                <p class="hint">
                  A and B are two corners of one wall; the garden lies before it. What is taped here need not be measured above.
                </p>
                ${field("tape corners", "From A to B")}
                ${["box", "pit", "lid"].map((point) => html`<div class="pair">${field(`tape A ${point}`, `A to the ${point}`)}${field(`tape B ${point}`, `B to the ${point}`)}</div>`)}
              </details>
              <div class="picture" id="plan-picture"></div>
            </section>
            <section>
              <h2>Soil</h2>
              ${chipRow(
                of("soil"),
                ["not yet", "test at the hole", ...textureNames()].map((value) => ({ value, text: value })),
                "or a rate",
              )}
              <div id="hole" hidden>
                <p class="hint">Fill the hole, then the watch and the tape down to the water, three times or more. Then fill it again.</p>
                <div class="pair">
                  ${field("hole diameter", "Across the hole", "hole")}${field("hole bottom", "Mark to the bottom", "hole")}
                </div>
                <div id="hole-water" hidden>${field("hole water", "Depth of water", "hole")}</div>
                <div id="fills"></div>
                <p>
                  <button type="button" id="add-reading">One more reading</button> <button type="button" id="add-fill">A new fill</button>
                </p>
                <p class="say" id="hole-words" role="status"></p>
                <div class="picture" id="hole-picture"></div>
              </div>
            </section>
            <section>
              <h2>Groundwater</h2>
              ${chipRow(
                of("groundwater"),
                [
                  { value: "not known", text: "not known" },
                  { value: "seen", text: "seen at" },
                  { value: "none", text: "none down to" },
                ],
                "depth",
              )}
            </section>
            <section>
              <h2>Room and wish</h2>
              ${typedRow(of("room"))}
              ${chipRow(
                of("wanted"),
                wishes.map((value) => ({ value, text: value })),
                null,
              )}
            </section>
            <section id="answers" tabindex="-1">
              <h2>The first answers</h2>
              <p id="lacking"></p>
              <div id="six"></div>
              <div class="picture" id="works-picture"></div>
              <div id="sharpen"></div>
              <details>
                <summary>What stands behind these answers</summary>
                <div id="more"></div>
              </details>
            </section>
            <section id="wall" hidden>
              <h2>How near to the house?</h2>
              <p class="hint">Pull the knob along the distance.</p>
              <div
                class="picture"
                id="wall-picture"
                role="slider"
                tabindex="0"
                aria-label="Distance from the house wall to the pit"
              ></div>
              <p id="wall-words"></p>
            </section>
            <section id="keys" hidden>
              <h2>Every figure of the works</h2>
              <p class="hint">
                All of these go into the file, and all can be changed here. What is changed stays when the answers above change.
              </p>
              <div id="key-list"></div>
              <p><button type="button" id="put-back" hidden>Put the proposal back</button></p>
            </section>
            <section id="keep" hidden>
              <h2>Keep it</h2>
              <p><a class="button" id="save" href="#" download="yard.json">Save the site file</a></p>
              <p class="hint" id="keep-hint"></p>
            </section>
            <section>
              <h2>Before anybody digs</h2>
              <dl>
                ${cautions.map(
                  ({ about, words }) =>
                    html`<div>
                      <dt>${about}</dt>
                      <dd>${words}</dd>
                    </div>`,
                )}
              </dl>
            </section>
          </main>
        </div>
        <nav class="bar" aria-label="How far">
          <span id="progress" role="status">0 of 12 facts</span><a href="#answers" id="brief">Answers</a>
        </nav>
        <noscript><p>This page needs its script, which it carries itself.</p></noscript>
        <script>
          ${trusted(program.replace(/<\/script/gi, "<\\/script").replace(/<!--/g, "<\\!--"))};
        </script>
      </body>
    </html> `.markup;
}

/** Points of one place of the instrument; further ones are copied by the page. */
function setUp(number: number): Markup {
  const [first, ...others] = surveyPoints;
  return html`<fieldset class="set-up" data-set-up="${number}">
    <legend>${number === 1 ? "First place of the instrument" : `Place ${number}`}</legend>
    ${[first!, ...others].map((point) => typedRow(questions.find(({ key }) => key === `reading 1 ${point}`)!))}
    ${field("reading 1 peg", "at a peg both places see", "along", "peg")}
    ${field("reading 1 benchmark again", "at the benchmark again", "along")}
  </fieldset>`;
}

function typedInput(key: string): Markup {
  return html`<input
        id="${fieldId(key)}"
        data-key="${key}"
        type="text"
        autocomplete="off"
        autocapitalize="off"
        spellcheck="false"
        enterkeyhint="next"
      />`;
}

function typedRow({ key, asks, unit, isFact }: Question, quick: string | null = null): Markup {
  return html`<div class="row" data-row="${key}">
    <label for="${fieldId(key)}">${asks}${isFact ? html` <b class="fact" title="one of the twelve">●</b>` : null}</label>
    <div class="field">
      ${typedInput(key)}${unit === null ? null : html`<span class="unit" data-unit="${key}"></span>`}${quick === null ? null : html`<button type="button" class="chip" data-quick="${key}" data-value="${quick}">${quick}</button>`}
    </div>
    <p class="hint" data-hint="${key}"></p>
    <p class="say" data-say="${key}" role="alert"></p>
  </div>`;
}

function field(key: string, asks: string, unit: "along" | "hole" = "along", only: string | null = null): Markup {
  return html`<div class="row${only === null ? "" : ` only-${only}`}" data-row="${key}">
    <label for="${fieldId(key)}">${asks}</label>
    <div class="field">
      ${typedInput(key)}<span class="unit" data-unit="${unit}"></span>
    </div>
    <p class="say" data-say="${key}" role="alert"></p>
  </div>`;
}

function chipRow(
  { key, asks, isFact }: Question,
  choices: readonly { readonly value: string; readonly text: string }[],
  typed: string | null,
): Markup {
  return html`<div class="row" data-row="${key}">
    <span class="label" id="${fieldId(key)}-label">${asks}${isFact ? html` <b class="fact" title="one of the twelve">●</b>` : null}</span>
    <div class="chips" role="group" aria-labelledby="${fieldId(key)}-label">
      ${choices.map(({ value, text }) => html`<button type="button" class="chip" data-chip="${key}" data-value="${value}" aria-pressed="false">${text}</button>`)}
    </div>
    ${typed === null ? null : html`<div class="field"><input id="${fieldId(key)}" data-typed="${key}" type="text" autocomplete="off" autocapitalize="off" spellcheck="false" enterkeyhint="next" aria-label="${asks} ${typed}" placeholder="${typed}" /><span class="unit" data-unit="${key}"></span></div>`}
    <p class="say" data-say="${key}" role="alert"></p>
  </div>`;
}

const STYLE = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
[hidden] { display: none !important; }
html { -webkit-text-size-adjust: 100%; text-size-adjust: 100%; scroll-padding-bottom: 80px; }
body { margin: 0; background: #f7f5f0; color: ${ink.text}; font: 16px/1.45 ${FONT}; font-variant-numeric: tabular-nums; overflow-wrap: anywhere; }
.page { max-width: 620px; margin: 0 auto; padding: 0 16px 96px; background: #fff; min-height: 100vh; }
h1, h2 { font-family: "Iowan Old Style", "Palatino Linotype", Palatino, Georgia, "Liberation Serif", serif; font-weight: 600; }
h1 { font-size: 27px; line-height: 1.2; margin: 0 0 8px; padding-top: 20px; }
h2 { font-size: 21px; margin: 0 0 8px; }
h3 { font-size: 15px; margin: 14px 0 2px; color: ${ink.soft}; font-weight: 600; }
section { border-top: 1px solid ${ink.grid}; padding: 18px 0 4px; margin-top: 14px; }
p { margin: 0 0 10px; }
label, .label, legend { display: block; font-weight: 600; font-size: 15px; }
.fact { color: ${lines.emitter.color}; font-size: 9px; vertical-align: middle; }
.row { margin: 0 0 10px; min-width: 0; }
.field { display: flex; align-items: center; gap: 8px; flex-wrap: wrap; }
input[type=text] { font: inherit; min-height: 44px; padding: 8px 10px; border: 1px solid ${ink.rule}; border-radius: 6px; flex: 1 1 120px; min-width: 0; color: inherit; background: #fff; }
input[type=file] { position: absolute; width: 1px; height: 1px; opacity: 0; }
.unit { color: ${ink.soft}; font-size: 14px; min-width: 2.4em; }
.unit:empty { display: none; }
.hint { color: ${ink.soft}; font-size: 13.5px; margin: 2px 0 4px; }
.say { font-size: 14px; margin: 2px 0 4px; border-left: 4px solid ${lines.emitter.color}; padding-left: 8px; }
.say:empty { display: none; }
.chips { display: flex; flex-wrap: wrap; gap: 8px; margin: 4px 0 8px; }
button, .button { font: inherit; min-height: 44px; padding: 8px 14px; border: 1px solid ${ink.text}; border-radius: 6px; background: #fff; color: inherit; cursor: pointer; display: inline-flex; align-items: center; text-decoration: none; }
.chip[aria-pressed=true] { background: ${ink.text}; color: #fff; }
button:focus-visible, a:focus-visible, input:focus-visible, summary:focus-visible, [role=slider]:focus-visible, .open input:focus-visible + span { outline: 3px solid ${lines.emitter.color}; outline-offset: 2px; }
.open { position: relative; }
.open:focus-within .button { outline: 3px solid ${lines.emitter.color}; outline-offset: 2px; }
.pair { display: grid; grid-template-columns: 1fr 1fr; gap: 0 12px; }
fieldset { border: 0; padding: 0; margin: 0; min-width: 0; display: grid; grid-template-columns: 1fr 1fr; gap: 0 12px; }
legend { margin-bottom: 6px; color: ${ink.soft}; }
fieldset .unit, .pair .unit { min-width: 0; }
fieldset input[type=text], .pair input[type=text] { flex-basis: 60px; }
fieldset .row, .pair .row { display: grid; grid-row: span 3; grid-template: subgrid / minmax(0, 1fr); }
fieldset .hint { display: none; }
fieldset .only-peg { display: none; }
#set-ups:has([data-set-up="2"]) .only-peg { display: grid; }
.picture { width: 100%; margin: 6px 0; }
.picture svg { display: block; max-width: 100%; }
#wall-picture { touch-action: pan-y; cursor: ew-resize; }
#lacking:empty { display: none; }
#answers { scroll-margin-top: 0; }
#answers h2 { margin-bottom: 2px; }
#six > div { margin-bottom: 7px; max-width: 64ch; }
#six h3, #six p { margin: 0; line-height: 1.25; }
#six h3 { font-size: 13px; }
#six p { font-size: 15px; }
#six .band { color: ${ink.soft}; font-size: 13px; }
#sharpen ul { padding-left: 18px; margin: 4px 0 12px; }
#sharpen li { margin-bottom: 8px; }
#sharpen a { color: ${lines.pit.color}; font-weight: 600; }
.fill { border-left: 3px solid ${ink.grid}; padding-left: 8px; margin-bottom: 8px; }
.fill .reading { display: flex; gap: 8px; margin-bottom: 6px; align-items: center; }
.fill .reading input { flex: 1 1 70px; }
.key { display: grid; grid-template-columns: 1fr 128px; gap: 8px; align-items: center; margin-bottom: 6px; }
.key label { font-weight: 400; font-size: 14px; }
.key .say { grid-column: 1 / -1; }
summary { cursor: pointer; min-height: 44px; padding: 10px 0; color: ${lines.pit.color}; font-weight: 600; }
dl { margin: 0; } dt { font-weight: 600; } dd { margin: 0 0 10px; }
.bar { position: fixed; left: 0; right: 0; bottom: 0; background: ${ink.text}; color: #fff; display: flex; justify-content: space-between; align-items: center; gap: 12px; padding: 0 16px; min-height: 52px; font-size: 15px; }
.bar a { color: #fff; font-weight: 600; min-height: 44px; display: inline-flex; align-items: center; text-align: right; }
@media print { .bar, .open, button { display: none; } }
`;
