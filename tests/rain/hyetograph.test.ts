import { describe, expect, test } from "vitest";
import { cumulativeDepth } from "../../lib/rain/cumulativeDepth.ts";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { InputError } from "../../lib/text/problem.ts";

describe("a hyetograph", () => {
  test("holds copies of its edges and depths", () => {
    const time = [0, 900, 1800];
    const rain = hyetograph({ time, depth: [0.004, 0] });
    time[1] = 1;
    expect([...rain.time]).toEqual([0, 900, 1800]);
    expect([...rain.depth]).toEqual([0.004, 0]);
  });

  test("adds up to its cumulative depths", () => {
    expect([...cumulativeDepth(hyetograph({ time: [0, 1, 2, 3], depth: [0.5, 0, 0.25] }))]).toEqual([0, 0.5, 0.5, 0.75]);
  });

  test("says all that is wrong with it in one error", () => {
    const make = () => hyetograph({ time: [0, 900, 900, NaN], depth: [-0.001, Infinity] });
    expect(make).toThrow(InputError);
    expect(make).toThrow(
      [
        "The hyetograph cannot be used:",
        "hyetograph: expected one edge more than depths, and one depth or more, got 4 edges and 2 depths",
        "time[2]: expected later than 900 s, got 900 s",
        "time[3]: expected a finite number of seconds, got NaN",
        "depth[0]: expected 0 m or more, got -0.001 m",
        "depth[1]: expected 0 m or more, got Infinity m",
      ].join("\n  "),
    );
  });

  test("needs one interval at least", () => {
    expect(() => hyetograph({ time: [0], depth: [] })).toThrow("one depth or more, got 1 edges and 0 depths");
  });
});
