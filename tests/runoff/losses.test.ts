import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { hyetograph } from "../../lib/rain/hyetograph.ts";
import { separateStorms } from "../../lib/rain/separateStorms.ts";
import { compositeLoss } from "../../lib/runoff/compositeLoss.ts";
import { continuingLoss, proportionalLoss } from "../../lib/runoff/continuingLoss.ts";
import { eachStorm, inTurn } from "../../lib/runoff/eachStorm.ts";
import { initialLoss } from "../../lib/runoff/initialLoss.ts";
import { rains, splitRains, thousandths, totalDepth } from "./rains.ts";

describe("an initial loss", () => {
  test("ends inside an interval, at the moment it is filled", () => {
    const effective = initialLoss(0.003)(hyetograph({ time: [0, 600, 1200], depth: [0.002, 0.004] }));
    expect([...effective.time]).toEqual([0, 600, 750, 1200]);
    expect([...effective.depth]).toEqual([0, 0, 0.003]);
  });

  test("takes no more than falls", () => {
    expect(totalDepth(initialLoss(1)(hyetograph({ time: [0, 600], depth: [0.5] })))).toBe(0);
  });
});

describe("a continuing loss", () => {
  test("leaves what falls faster", () => {
    const effective = continuingLoss(1e-6)(hyetograph({ time: [0, 1000, 2000], depth: [0.0005, 0.003] }));
    expect([...effective.depth]).toEqual([0, 0.002]);
  });

  test("after an initial one takes both", () => {
    const rain = hyetograph({ time: [0, 1000, 2000], depth: [0.002, 0.004] });
    expect(totalDepth(inTurn(initialLoss(0.002), continuingLoss(1e-6))(rain))).toBeCloseTo(0.003, 15);
  });
});

describe("a composite area", () => {
  test("runs off as the mean of its parts by area", () => {
    const rain = hyetograph({ time: [0, 1000, 2000], depth: [0.002, 0.004] });
    const loss = compositeLoss([
      { area: 300, loss: proportionalLoss(0.9) },
      { area: 100, loss: initialLoss(0.003) },
    ]);
    expect(totalDepth(loss(rain))).toBeCloseTo(0.75 * 0.9 * 0.006 + 0.25 * 0.003, 15);
  });

  test("refuses parts without area or loss", () => {
    const parts = [{ area: -1, loss: initialLoss(0) }, { area: 1, loss: 3 }] as unknown as Parameters<typeof compositeLoss>[0];
    expect(() => compositeLoss(parts)).toThrow(
      [
        "The composite loss cannot be used:",
        "compositeLoss.parts[0].area: expected a number above 0, got -1",
        "compositeLoss.parts[1].loss: expected a loss model, got 3",
      ].join("\n  "),
    );
  });
});

describe("storms of a record", () => {
  const record = hyetograph({ time: [0, 1, 2, 3, 13, 14, 30, 31], depth: [0, 0.1, 0.2, 0, 0.3, 0, 0.4].map((d) => d / 100) });

  test("are parted by dry spells as long as asked or longer", () => {
    expect(separateStorms(record, 11)).toEqual([{ first: 1, last: 4 }, { first: 6, last: 6 }]);
    expect(separateStorms(record, 16)).toEqual([{ first: 1, last: 4 }, { first: 6, last: 6 }]);
    expect(separateStorms(record, 17)).toEqual([{ first: 1, last: 6 }]);
  });

  test("each lose their initial loss again", () => {
    const effective = eachStorm(initialLoss(0.001), 11)(record);
    expect(totalDepth(effective)).toBeCloseTo(0.005 + 0.003, 15);
    expect([effective.time[0], effective.time[effective.depth.length]]).toEqual([0, 31]);
  });

  test("of a record without rain are an empty list", () => {
    expect(separateStorms(hyetograph({ time: [0, 1], depth: [0] }), 1)).toEqual([]);
  });
});

describe("laws of the losses", () => {
  const losses = fc.oneof(
    thousandths(0, 50).map((mm) => initialLoss(mm / 1000)),
    thousandths(0, 60).map((mm_h) => continuingLoss(mm_h / 3.6e6)),
    thousandths(0, 1).map(proportionalLoss),
    thousandths(0, 20).map((mm) => {
      const parts = [{ area: 2, loss: initialLoss(mm / 1000) }, { area: 1, loss: proportionalLoss(0.4) }];
      return compositeLoss(parts);
    }),
    thousandths(0, 5).map((mm) => eachStorm(initialLoss(mm / 1000), 3600)),
  );

  test("what runs off is between nothing and the rain, and begins and ends with it", () => {
    fc.assert(
      fc.property(rains, losses, (rain, loss) => {
        const effective = loss(rain);
        expect(Math.min(...effective.depth)).toBeGreaterThanOrEqual(0);
        expect(totalDepth(effective)).toBeLessThanOrEqual(totalDepth(rain) * (1 + 1e-12));
        expect(effective.time[0]).toBe(rain.time[0]);
        expect(effective.time[effective.depth.length]).toBe(rain.time[rain.depth.length]);
      }),
    );
  });

  test("splitting an interval changes nothing", () => {
    fc.assert(
      fc.property(splitRains, losses, ({ whole, split }, loss) => {
        expect(Math.abs(totalDepth(loss(whole)) - totalDepth(loss(split)))).toBeLessThanOrEqual(1e-13 * totalDepth(whole));
      }),
    );
  });

  test("more rain never gives less runoff", () => {
    fc.assert(
      fc.property(rains, losses, thousandths(1, 3), (rain, loss, factor) => {
        const more = hyetograph({ time: rain.time, depth: rain.depth.map((depth) => depth * factor) });
        expect(totalDepth(loss(more))).toBeGreaterThanOrEqual(totalDepth(loss(rain)) * (1 - 1e-12));
      }),
    );
  });
});
