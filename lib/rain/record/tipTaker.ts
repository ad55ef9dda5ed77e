import { intervalRow } from "./intervalRow.ts";
import { refuseTooMuch, WHY, type RecordWork, type ValueTaker } from "./valueTaker.ts";

/** Tips of a bucket at instants, summed up in intervals of the clock; from the first to the last, silence is dry. */
export function tipTaker({ settings, sheet, report, notes }: RecordWork): ValueTaker {
  const interval = settings.interval ?? 300;
  const most = settings.largest(interval);
  /** each tip as an interval of no length */
  const said = intervalRow();
  /** time of the line before, where that counted */
  let last = NaN;
  let [first, end] = [Infinity, -Infinity];
  let sharesMinute = false;
  notes.push(`Tips are counted in intervals of ${interval / 60} min of the clock; silence between them is taken as dry.`);
  return {
    interval: () => interval,
    take({ time, hasSeconds }, value, number) {
      said.seek(time);
      const isSaid = said.before()?.start === time;
      // One second cannot hold two tips. One minute can, but their lines follow one another.
      if (isSaid && (hasSeconds || time !== last)) {
        last = NaN;
        return report.repair(number, WHY.twice);
      }
      const start = Math.floor(time / interval) * interval;
      const sum = sheet.pour(start, start + interval, value, most);
      if (sum > most) return refuseTooMuch(report, number, sum);
      if (said.next() !== null) report.repair(number, WHY.late);
      sharesMinute ||= isSaid;
      said.insert(time, time, value);
      [first, end] = [Math.min(first, start), Math.max(end, start + interval)];
      last = time;
      report.read();
    },
    end() {
      if (end > first) sheet.add(first, end, 0);
      if (sharesMinute) notes.push("Some tips are stamped to the minute and share one; each of them counts.");
    },
  };
}
