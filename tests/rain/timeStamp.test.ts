import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { timeStamp } from "../../lib/rain/record/timeStamp.ts";

describe("a time stamp", () => {
  test("is what the calendar of JavaScript says, for any second from 1900 to 2100", () => {
    fc.assert(
      fc.property(fc.integer({ min: -2208988800, max: 4102444800 }), (seconds) => {
        const text = new Date(seconds * 1000).toISOString().slice(0, 19);
        expect(timeStamp(text, "year-month-day")).toEqual({ time: seconds, hasZone: false, hasSeconds: true });
        expect(timeStamp(`${text}Z`, "year-month-day")).toEqual({ time: seconds, hasZone: true, hasSeconds: true });
      }),
    );
  });

  test.each([
    ["2026-02-29", "year-month-day"],
    ["2100-02-29", "year-month-day"],
    ["2026-13-01", "year-month-day"],
    ["2026-01-01 24:01", "year-month-day"],
    ["2026-01-01 12:60", "year-month-day"],
    ["2026-01-01 13:00 PM", "year-month-day"],
    ["2026-1-1", "year-month-day"],
    ["2026-01/01", "year-month-day"],
    ["0000-01-01", "year-month-day"],
    ["26-01-01 00:00", "year-month-day"],
    ["2026-01-01x00:00", "year-month-day"],
    ["2026-01-01 00:00 CET", "year-month-day"],
    ["2026-01-01 -1:00", "year-month-day"],
    ["2026-01-01 00:00:60", "year-month-day"],
    ["1/31/2026", "year-month-day"],
    ["1/31/2026", "day/month/year"],
    ["", "year-month-day"],
  ] as const)("%o is refused in the order %s", (text, order) => {
    expect(timeStamp(text, order)).toBeNull();
  });

  test.each([
    ["31/1/2026 6:05", "day/month/year", "2026-01-31T06:05:00Z"],
    ["31.01.2026 06:05", "day/month/year", "2026-01-31T06:05:00Z"],
    ["1/31/2026 12:05 am", "month/day/year", "2026-01-31T00:05:00Z"],
    ["2000-12-31 00:00", "year-month-day", "2000-12-31T00:00:00Z"],
    ["2100-12-31 00:00", "year-month-day", "2100-12-31T00:00:00Z"],
    ["2024-02-29 24:00", "year-month-day", "2024-03-01T00:00:00Z"],
    ["2024/02/29 05:30", "year-month-day", "2024-02-29T05:30:00Z"],
    ["2026-01-31 06:05:30-0330", "year-month-day", "2026-01-31T09:35:30Z"],
  ] as const)("%o in the order %s is %s", (text, order, iso) => {
    expect(timeStamp(text, order)?.time).toBe(Date.parse(iso) / 1000);
  });
});
