import { unusableRecord } from "./unusableRecord.ts";
import { refuseTooMuch, WHY, type Line, type RecordWork, type ValueTaker } from "./valueTaker.ts";

/**
 * Rain, or its mean intensity, in intervals of one length. Where nobody says how long they are, the first lines wait until
 * their distances tell.
 */
export function intervalTaker({ columns, settings, sheet, report, notes }: RecordWork): ValueTaker {
  let interval = settings.interval;
  const waiting: Line[] = [];
  const place = ({ time, value, number }: Line, length: number): void => {
    const depth = columns.kind === "intensity" ? value * length : value;
    if (depth > settings.largest(length)) return refuseTooMuch(report, number, depth);
    const start = columns.stamp === "start" ? time : time - length;
    const placed = sheet.add(start, start + length, depth);
    if (placed === "conflict") report.refuse(number, WHY.taken, "");
    else if (placed === "again") report.repair(number, WHY.twice);
    else {
      report.read();
      if (placed === "inserted") report.repair(number, WHY.late);
    }
  };
  const settle = (): void => {
    const length = commonDistance(waiting);
    if (length === null) throw unusableRecord(`the option "interval": "1 h" or the like, as no two lines tell how long the intervals are`, "nothing");
    interval = length;
    notes.push(`Each value counts for ${length / 60} min: most of the first ${waiting.length} lines are that far apart.`);
    waiting.forEach((line) => place(line, length));
  };
  return {
    interval: () => interval,
    take({ time }, value, number) {
      if (interval !== null) return place({ time, value, number }, interval);
      waiting.push({ time, value, number });
      if (waiting.length === FIRST_LINES) settle();
    },
    end() {
      if (interval === null && waiting.length > 0) settle();
    },
  };
}

/** Lines that wait for the length of the intervals to be known. */
const FIRST_LINES = 24;

/** The distance that most neighbours have, of equally common ones the shortest; null where no two times differ. */
function commonDistance(lines: readonly Line[]): number | null {
  const counts = new Map<number, number>();
  for (let i = 1; i < lines.length; i++) {
    // To the millisecond, as sums of days and fractions of a second differ by rounding.
    const distance = Math.round(Math.abs(lines[i]!.time - lines[i - 1]!.time) * 1000) / 1000;
    if (distance > 0) counts.set(distance, (counts.get(distance) ?? 0) + 1);
  }
  const rising = [...counts].sort(([a], [b]) => a - b);
  return rising.reduce<readonly [number | null, number]>((best, one) => (one[1] > best[1] ? one : best), [null, 0])[0];
}
