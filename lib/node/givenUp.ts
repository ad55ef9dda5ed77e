import { LostRows, type Rows, type StudyPool } from "../study/runStudy.ts";

/** Rows that took longer than allowed, or over which what made them died again and again. */
export class GivenUp extends Error {
  constructor(message: string) {
    super(message);
    this.name = "GivenUp";
  }
}

/**
 * A pool that makes rows in another one, and where rows are given up halves them until the single rows at fault are left; all others are
 * made.
 */
export function halving(pool: StudyPool): StudyPool {
  return {
    get threads() {
      return pool.threads;
    },
    ...(pool.chunks === undefined ? {} : { chunks: (width: number, rows: number) => pool.chunks!(width, rows) }),
    rows: async (study, from, to) => {
      try {
        return await pool.rows(study, from, to);
      } catch (error) {
        if (!(error instanceof GivenUp)) throw error;
        const made: Rows[] = [];
        const lost = to - from === 1 ? [{ row: from, why: error.message }] : await halves(study, from, to, made);
        // an interruption of the way there, not of a row
        if (lost.length === 0) return joined(made);
        throw new LostRows(lost, made);
      }
    },
  };

  async function halves(study: Parameters<StudyPool["rows"]>[0], from: number, to: number, made: Rows[]): Promise<LostRows["lost"]> {
    const middle = Math.floor((from + to) / 2);
    const found: { row: number; why: string }[] = [];
    for (const [start, end] of [
      [from, middle],
      [middle, to],
    ] as const) {
      try {
        made.push({ from: start, values: await halving(pool).rows(study, start, end) });
      } catch (error) {
        if (!(error instanceof LostRows)) throw error;
        for (const rows of error.made) made.push(rows);
        for (const row of error.lost) found.push(row);
      }
    }
    return found;
  }
}

function joined(made: readonly Rows[]): Float64Array {
  const rows = new Float64Array(made.reduce((sum, { values }) => sum + values.length, 0));
  let at = 0;
  for (const { values } of made) {
    rows.set(values, at);
    at += values.length;
  }
  return rows;
}
