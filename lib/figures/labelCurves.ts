/** A curve in a panel and the size of the name it should carry, all in [px] from the panel's lower left corner. */
export interface NamedCurve {
  readonly x: readonly number[];
  /** null is a gap */
  readonly y: readonly (number | null)[];
  readonly labelWidth: number;
  readonly labelHeight: number;
}

/** The lower left corner of a name [px]. */
export interface NamePlace {
  readonly x: number;
  readonly y: number;
}

/**
 * A place for the name of each curve, just over or under it where it stands clear of the other curves, of the still
 * lines and of the other names, as far as there is such a place.
 *
 * @param curves  in order of drawing; the first chooses first
 * @param panel   its size and the heights of lines that stand still in it [px]
 * @returns       a place a curve; null for a curve that is nowhere drawn
 */
export function labelCurves(
  curves: readonly NamedCurve[],
  panel: { readonly width: number; readonly height: number; readonly still: readonly number[] },
): (NamePlace | null)[] {
  const taken: Box[] = [];
  return curves.map((curve) => {
    let best: { box: Box; cost: number } | null = null;
    for (const box of candidates(curve, panel.width)) {
      const cost = costOf(box, curve, curves, panel, taken);
      if (best === null || cost < best.cost) best = { box, cost };
    }
    if (best === null) return null;
    taken.push(best.box);
    return { x: best.box.left, y: best.box.bottom };
  });
}

interface Box {
  readonly left: number;
  readonly right: number;
  readonly bottom: number;
  readonly top: number;
}

// Air between a name and its curve [px], and the step of looking along the curve.
const AIR = 4;
const STEP = 8;

function candidates(curve: NamedCurve, width: number): Box[] {
  const boxes: Box[] = [];
  for (let left = AIR; left + curve.labelWidth < width; left += STEP) {
    const right = left + curve.labelWidth;
    const along = reach(curve, left, right);
    if (along === null || heightAt(curve, (left + right) / 2) === null) continue;
    boxes.push({ left, right, bottom: along.high + AIR, top: along.high + AIR + curve.labelHeight });
    boxes.push({ left, right, bottom: along.low - AIR - curve.labelHeight, top: along.low - AIR });
  }
  return [...boxes, ...besideEnds(curve, width)];
}

/** Beside a curve's first and last drawn point: the only room there is where curves stand close. */
function besideEnds({ x, y, labelWidth, labelHeight }: NamedCurve, width: number): Box[] {
  const boxes: Box[] = [];
  y.forEach((height, i) => {
    if (height === null) return;
    const [bottom, top] = [height - labelHeight / 2, height + labelHeight / 2];
    if ((y[i + 1] ?? null) === null && x[i]! + AIR + labelWidth < width) {
      boxes.push({ left: x[i]! + AIR, right: x[i]! + AIR + labelWidth, bottom, top });
    }
    if ((y[i - 1] ?? null) === null && x[i]! - AIR - labelWidth > 0) {
      boxes.push({ left: x[i]! - AIR - labelWidth, right: x[i]! - AIR, bottom, top });
    }
  });
  return boxes;
}

// What a name gives up for a place: out of the panel or on another name is never worth it, on another curve hardly.
const NEVER = 1e6;
const CURVE = 1e4;
const STILL = 300;

function costOf(
  box: Box, own: NamedCurve, curves: readonly NamedCurve[],
  panel: { readonly width: number; readonly height: number; readonly still: readonly number[] }, taken: readonly Box[],
): number {
  let cost = 0;
  if (box.bottom < 1 || box.top > panel.height - 1) cost += NEVER;
  for (const other of taken) if (meets(box, other)) cost += NEVER;
  for (const curve of curves) {
    const along = reach(curve, box.left - AIR, box.right + AIR);
    if (along === null) continue;
    if (along.high > box.bottom - AIR / 2 && along.low < box.top + AIR / 2) cost += curve === own ? STILL : CURVE;
    // A name that is as near to another curve as to its own could be taken for that one's.
    if (curve !== own) cost += STILL / (1 + gapTo(box, along) / 8);
  }
  for (const height of panel.still) if (height > box.bottom - 1 && height < box.top + 1) cost += STILL;
  // A steep curve leaves its name far from most of it, and a name beside its end is read last.
  const along = reach(own, box.left, box.right);
  cost += along === null ? 150 : 1.5 * (along.high - along.low) + (box.bottom < along.low ? 20 : 0);
  return cost + Math.abs((box.left + box.right) / 2 - panel.width * 0.45) * 0.15;
}

function meets(a: Box, b: Box): boolean {
  return a.left < b.right + AIR && b.left < a.right + AIR && a.bottom < b.top + AIR && b.bottom < a.top + AIR;
}

function gapTo(box: Box, along: { readonly low: number; readonly high: number }): number {
  return Math.max(0, along.low - box.top, box.bottom - along.high);
}

/** Lowest and highest of a curve over a stretch; null where it has a gap all along. */
function reach(curve: NamedCurve, from: number, to: number): { low: number; high: number } | null {
  let low = Infinity;
  let high = -Infinity;
  const take = (y: number | null): void => {
    if (y === null) return;
    low = Math.min(low, y);
    high = Math.max(high, y);
  };
  take(heightAt(curve, from));
  take(heightAt(curve, to));
  for (let i = 0; i < curve.x.length; i++) if (curve.x[i]! > from && curve.x[i]! < to) take(curve.y[i]!);
  return low > high ? null : { low, high };
}

function heightAt({ x, y }: NamedCurve, at: number): number | null {
  const next = x.findIndex((each) => each >= at);
  if (next < 1) return next === 0 && x[0] === at ? y[0]! : null;
  const [before, after] = [y[next - 1]!, y[next]!];
  if (before === null || after === null) return null;
  const span = x[next]! - x[next - 1]!;
  return span === 0 ? after : before + ((at - x[next - 1]!) / span) * (after - before);
}
