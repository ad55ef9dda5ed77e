import { describe, expect, test } from "vitest";
import { levelFigure } from "../../lib/figures/levelFigure.ts";
import { plotFrame } from "../../lib/figures/svg/plotFrame.ts";
import { stretched } from "../../lib/live/levelPicture.ts";
import { timeMarks } from "../../lib/live/levelPicture.ts";
import { timeWarp } from "../../lib/live/timeWarp.ts";
import { typedText } from "../../lib/live/wakePage.ts";
import { designStorm } from "../../lib/rain/storms/designStorm.ts";
import { settledRun } from "../../lib/simulate/settledRun.ts";
import { readSite } from "../../lib/site/readSite.ts";
import { demo } from "../site/siteFiles.ts";

const run = settledRun(readSite(demo("copperbeech-lane")), designStorm({ pattern: "nrcs-ii", depth: "3.3 in" }));
const calm = settledRun(readSite(demo("copperbeech-lane")), designStorm({ pattern: "block", depth: "0 in", duration: "1 h" }));

describe("the course of a storm that is played", () => {
  test("rises with the hours, from the first to the last, and goes back to them", () => {
    for (const each of [run, calm]) {
      const warp = timeWarp(each, 72);
      expect(warp.shareAt(0)).toBe(0);
      expect(warp.shareAt(72)).toBeCloseTo(1, 9);
      let before = 0;
      for (let hour = 0.5; hour <= 72; hour += 0.5) {
        const share = warp.shareAt(hour);
        expect(share).toBeGreaterThan(before);
        expect(warp.hourAt(share)).toBeCloseTo(hour, 6);
        before = share;
      }
    }
  });

  test("is slow where things happen: an hour at the peak takes ten times one at the end", () => {
    const warp = timeWarp(run, 72);
    expect(warp.shareAt(12.2) - warp.shareAt(11.2)).toBeGreaterThan(10 * (warp.shareAt(71) - warp.shareAt(70)));
  });

  test("has its moments in order: first water, over, lid, highest, day 3, empty", () => {
    expect(timeMarks(run).map(({ words }) => words)).toEqual(["first water", "pit runs over", "lid lifts", "highest", "day 3 begins", "empty"]);
    expect(timeMarks(run).find(({ words }) => words === "lid lifts")!.time).toBe(run.firings[0]!.start);
    expect(timeMarks(calm).map(({ words }) => words)).toEqual(["day 3 begins"]);
  });
});

describe("the stretched axis", () => {
  const frame = plotFrame(levelFigure(run, { width: 360 }).layout, 360);
  const end = frame.x.value(frame.x.to);

  test.each([0, 0.4, 12, 40, end])("goes through every hour once and leaves hour %d where it was", (hour) => {
    const { x } = stretched(frame, hour);
    expect(x.pixel(hour)).toBeCloseTo(frame.x.pixel(hour), 9);
    let before = -Infinity;
    for (let at = 0; at <= end; at += end / 500) {
      expect(x.pixel(at)).toBeGreaterThan(before);
      expect(x.value(x.pixel(at))).toBeCloseTo(at, 9);
      before = x.pixel(at);
    }
  });

  test("gives twenty minutes on a phone as many pixels as a finger can tell apart", () => {
    const { x } = stretched(frame, 12);
    expect(frame.x.pixel(12.33) - frame.x.pixel(12)).toBeLessThan(2);
    expect(x.pixel(12.33) - x.pixel(12)).toBeGreaterThan(20);
  });
});

test("what is typed is taken in the page's own words and units", () => {
  for (const none of ["far below", "Groundwater far below", "never", "none"]) expect(typedText("groundwater", none, "si")).toBe("none");
  expect(typedText("hour", "12", "us")).toBe("12 h");
  expect(typedText("rain", " 2.5 ", "us")).toBe("2.5 in");
  expect(typedText("soil2", "12", "si")).toBe("12 mm/h");
  expect(typedText("soil2", "12 mm/h", "us")).toBe("12 mm/h");
  expect(typedText("groundwater", "94", "us")).toBe("94 ft");
  expect(typedText("trench", "a while", "us")).toBe("a while");
});
