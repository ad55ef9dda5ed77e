import { describe, expect, test } from "vitest";
import { type LiveParts, sitePage } from "../../lib/report/sitePage.ts";
import type { Run } from "../../lib/simulate/run.ts";
import { drawnRun } from "../figures/drawnRun.ts";

const run = drawnRun("library-3in");
const rain = run.rain!;
const program = { packed: "AAAA", notices: "/*! </script> in a text of its own */", isWasm: true };
/** A page with its program, of storms by their names. */
function paged(storms: readonly { readonly name: string; readonly run: Run }[]): string {
  const rains = storms.map(({ name }) => ({ name, rain, isRecorded: false }));
  const live: LiveParts = { file: { name: storms[0]!.name }, rains, program };
  return sitePage(storms, { live });
}
const page = paged([{ name: "3 in in a day", run }, { name: "4 in in a day", run: drawnRun("library-4in") }]);

/** The page without what its scripts and style hold, which is not markup. */
function skeleton(html: string): string {
  return html.replace(/(<(script|style)[^>]*>)[^]*?(<\/\2>)/g, "$1$3");
}

function tags(html: string): string[] {
  return [...skeleton(html).matchAll(/<\/?([a-z][a-z0-9]*)/gi)].map(([, name]) => name!.toLowerCase());
}

describe("a report", () => {
  test("asks for nothing from outside and says so in its policy", () => {
    expect(page.includes(
      `<meta http-equiv="Content-Security-Policy" content="default-src &#39;none&#39;; script-src &#39;unsafe-inline&#39; &#39;wasm-unsafe-eval&#39;; `
      + `style-src &#39;unsafe-inline&#39;; img-src data: blob:; font-src data:; base-uri &#39;none&#39;; form-action &#39;none&#39;">`,
    )).toBe(true);
    expect(skeleton(page)).not.toMatch(/\b(?:src|href|action|data|poster|srcset)\s*=\s*"(?!#)/);
    // a drawing names its own patterns
    expect(page).not.toMatch(/@import|url\((?!#)/);
  });

  test("has the answer as its title and its heading", () => {
    expect(page).toMatch(/<title>Fernhollow reading room, rear lawn: The emitter fires in both storms/);
    expect(page).toMatch(/<h1 id="headline">The emitter lets out about/);
  });

  test("of two storms takes less than 300 kB beside its program", () => {
    expect(page.length).toBeLessThan(300_000);
  });

  test("cannot be ended by a script's own text", () => {
    expect(page.match(/<\/script>/g)!.length).toBe(page.match(/<script\b/g)!.length);
  });

  test("closes every element it opens, in order", () => {
    const empty = new Set(["meta", "br", "img", "link", "hr", "input"]);
    const open: string[] = [];
    for (const [, closing, name, ends] of skeleton(page).matchAll(/<(\/?)([a-zA-Z][a-zA-Z0-9]*)([^>]*?\/>)?/g)) {
      if (empty.has(name!) || ends !== undefined) continue;
      if (closing === "") open.push(name!);
      else expect(open.pop()).toBe(name);
    }
    expect(open).toEqual([]);
  });

  test("has landmarks, one heading of the first order and no order left out", () => {
    const bones = skeleton(page);
    for (const landmark of ["header", "main", "footer"]) expect(bones.match(new RegExp(`<${landmark}[ >]`, "g"))).toHaveLength(1);
    const orders = [...bones.matchAll(/<h([1-6])/g)].map(([, order]) => Number(order));
    expect(orders.filter((order) => order === 1)).toHaveLength(1);
    orders.slice(1).forEach((order, i) => expect(order - orders[i]!).toBeLessThanOrEqual(1));
  });

  test("says every picture in words and heads every table", () => {
    const bones = skeleton(page);
    const pictures = bones.match(/class="picture"/g)!.length;
    // levels and section on top and for the other storm; for both where the water went, flows and head
    expect(pictures).toBe(10);
    expect(bones.match(/class="picture"[^>]*role="(?:img|group)" aria-label="[^"]{60,}"/g)).toHaveLength(pictures);
    for (const [table] of bones.matchAll(/<table[^]*?<\/table>/g)) expect(table).toMatch(/<th scope="col">/);
  });

  test("points each name that labels another to something that is there", () => {
    const ids = new Set([...page.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id));
    for (const [, id] of page.matchAll(/aria-labelledby="([^"]+)"|href="#([^"]+)"/g)) if (id !== undefined) expect(ids).toContain(id);
    expect(ids.size).toBe([...page.matchAll(/ id="([^"]+)"/g)].length);
  });

  test("keeps its head's answers as cards on a phone: each says what it answers", () => {
    const brief = /<table class="brief">([^]*?)<\/table>/.exec(page)![1]!;
    const heads = [...brief.matchAll(/<th scope="col">([^<]*)<\/th>/g)].map(([, head]) => head);
    const named = [...brief.matchAll(/<td data-head="([^"]*)">/g)].map(([, head]) => head);
    expect(named).toEqual([...heads.slice(1), ...heads.slice(1)]);
    expect(heads).toEqual(["storm", "rain", "pit rises to, ft", "to its ground", "emitter fires", "pit empty, after last full"]);
  });

  test("writes no height in feet, and how closely the book closes under its picture", () => {
    expect(skeleton(page)).not.toMatch(/ ft[\s\u00a0]to[\s\u00a0]spare/);
    expect(page.match(/below it what became of it; in and out agree to one part in /g)).toHaveLength(2);
  });

  test("has the cautions and what it does not promise", () => {
    for (const words of ["Call before you dig", "Nobody enters an unshored pit", "Slopes", "Contaminated", "septic", "Local code", "What this does not promise"]) {
      expect(page.includes(words)).toBe(true);
    }
  });

  test("of no storm is refused", () => {
    expect(() => sitePage([])).toThrow(new RangeError("sitePage: expected one storm or more, got none"));
  });
});

describe("hostile text of a site file", () => {
  const hostile = `</title></script><script>alert("1")</script><img src=x onerror='alert(2)'>" onload="x\u202e\u2028&lt;`;
  const long = "x".repeat(5000);

  function named(name: string): Run {
    const { site } = run;
    return {
      ...run,
      notes: [name],
      site: {
        ...site, name, about: name, notes: [name], watchLevels: [{ name, level: 30 }],
        catchments: site.catchments.map((catchment) => ({ ...catchment, name })),
      },
    };
  }

  test("never becomes an element, an attribute or the end of a script", () => {
    const calm = paged([{ name: "calm", run: named("calm") }]);
    const wild = paged([{ name: hostile, run: named(hostile) }]);
    expect(tags(wild)).toEqual(tags(calm));
    expect(skeleton(wild)).not.toMatch(/<[^>]*\son\w+=/i);
    expect(wild.match(/<script\b/g)!.length).toBe(calm.match(/<script\b/g)!.length);
    // in the data of a script it is what the file says, and is shown as text
    expect(skeleton(wild).includes("\u202e")).toBe(false);
    expect(JSON.parse(/id="live-source">([^]*?)<\/script>/.exec(wild)![1]!)).toHaveProperty("file.name", hostile);
  });

  test("is shown as the text it is", () => {
    const wild = paged([{ name: hostile, run: named(hostile) }]);
    // One line: the separator of lines in it has become a space, and the mark that turns the reading direction can be seen.
    expect(wild.includes("&#60;img src=x onerror=&#39;alert(2)&#39;&#62;&#34; onload=&#34;x\\u202e &#38;lt;")).toBe(true);
  });

  test("that is very long does not swell the pictures", () => {
    const page = sitePage([{ name: long, run: named(long) }]);
    expect(page.match(/x{5000}/g)!.length).toBeLessThan(10);
    for (const [drawing] of page.matchAll(/<svg[^]*?<\/svg>/g)) expect(drawing).not.toMatch(/x{61}/);
  });
});
