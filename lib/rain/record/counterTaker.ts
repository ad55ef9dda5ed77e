import { refuseTooMuch, WHY, type Line, type RecordWork, type ValueTaker } from "./valueTaker.ts";

/**
 * A counter of all rain so far, read at instants.
 *
 * A reading that falls, or leaps beyond belief, is held in doubt until the next one: if that agrees with the last sure
 * reading, the doubtful one was wrong; if it agrees with the doubtful one, the counter was reset; if it agrees with both, nobody can
 * tell, and the stretch is a gap; if with neither, the doubtful one is refused and the new one is in doubt.
 */
export function counterTaker({ settings, sheet, report, notes }: RecordWork): ValueTaker {
  let sure: Line | null = null;
  let doubtful: Line | null = null;
  if (settings.restarts) notes.push("The counter restarts from 0 at times; what fell between its last reading and that is not known.");

  const follows = (from: Line, to: Line): boolean =>
    to.value >= from.value && to.value - from.value <= settings.largest(to.time - from.time);
  const accept = (from: Line | null, to: Line): void => {
    if (from !== null) sheet.add(from.time, to.time, to.value - from.value);
    sure = to;
    doubtful = null;
    report.read();
  };
  const refuse = ({ number, value }: Line, before: Line): void =>
    value < before.value ? report.refuse(number, "a counter that falls", "") : refuseTooMuch(report, number, value - before.value);

  return {
    interval: () => null,
    end() {
      if (doubtful !== null) refuse(doubtful, sure!);
    },
    take({ time }, value, number) {
      const reading = { time, value, number };
      const last: Line | null = doubtful ?? sure;
      if (last !== null && time <= last.time) {
        if (time < last.time) return report.refuse(number, "out of order in a counter", "");
        return value === last.value ? report.repair(number, WHY.twice) : report.refuse(number, WHY.taken, "");
      }
      if (sure === null) return accept(null, reading);
      const before = settings.restarts && value < sure.value ? { ...sure, value: 0 } : sure;
      if (doubtful === null) return follows(before, reading) ? accept(before, reading) : void (doubtful = reading);
      const [wasWrong, wasReset] = [follows(before, reading), follows(doubtful, reading)];
      if (wasWrong || !wasReset) refuse(doubtful, sure);
      if (!wasWrong && !wasReset) doubtful = reading;
      else if (!wasReset) accept(before, reading);
      else if (!wasWrong) {
        report.repair(doubtful.number, "a counter that was reset: what fell before this line is not known");
        report.read();
        accept(doubtful, reading);
      } else {
        report.repair(number, "a counter that was reset or misread: what fell before this line is not known");
        accept(null, reading);
      }
    },
  };
}
