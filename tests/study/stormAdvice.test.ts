import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { readSite } from "../../lib/site/readSite.ts";
import { stormAdvice } from "../../lib/study/stormAdvice.ts";

const file = (name: string): Record<string, unknown> => JSON.parse(readFileSync(new URL(`../../data/${name}.json`, import.meta.url), "utf8")) as Record<string, unknown>;
const copperbeech = file("copperbeech-lane");

test.each([
  ["US", "nested"], ["GB", "uk-summer"], ["DE", "euler-2"], ["CA", "alternating-block"],
])("roofs in %s are best tried with %s", (region, pattern) => {
  const advice = stormAdvice(readSite({ ...copperbeech, region }));
  expect([advice.pattern, advice.minutesMatter]).toEqual([pattern, true]);
  expect(advice.words).toContain("the fastest of what drains here is down within 5 min");
});

test("a region that is not named is that of the file's units", () => {
  expect([stormAdvice(readSite(copperbeech)).pattern, stormAdvice(readSite(file("linden-row"))).pattern]).toEqual(["nested", "uk-summer"]);
});

test("where all that drains takes hours a block will do", () => {
  const catchments = [{ name: "meadow", area: "1 acre", runoffCoefficient: 0.2, timeOfConcentration: "90 min" }];
  expect(stormAdvice(readSite({ ...copperbeech, catchments }))).toEqual({
    pattern: "block", minutesMatter: false,
    words: "Storm to try: a block of even rain will do, as the fastest of what drains here is down within 90 min, which evens out a peak.",
  });
});
