import type { LoadPrice, PriceKey, PriceRange, Prices } from "../site/prices.ts";
import type { Site } from "../site/site.ts";
import { pipeLengths } from "./cutPlan.ts";
import { PERFORATED_PIPE } from "./pipeOrder.ts";
import { takeOff, type TakeOff } from "./takeOff.ts";

/** A line of a cost: so much of something, at so much each. */
export interface CostLine {
  /** null for a sum that is paid once */
  readonly key: PriceKey | null;
  /** of a sum that is paid once: what for; "" elsewhere */
  readonly name: string;
  /** [m3], [kg], [m2], [m], or pieces */
  readonly amount: number;
  readonly measured: Measured;
  /** of one of them */
  readonly price: PriceRange;
  /** of all of them */
  readonly low: number;
  readonly high: number;
}

/** What an amount counts. */
export type Measured = "bulk" | "mass" | "sheet" | "length" | "pieces";

/** What a design costs, in the money of its prices. */
export interface Cost {
  readonly currency: string;
  readonly lines: readonly CostLine[];
  /** with every price at its lowest, half-way, and at its highest */
  readonly low: number;
  readonly middle: number;
  readonly high: number;
  /** what the order list has and the prices do not: no part of the cost */
  readonly unpriced: readonly PriceKey[];
}

/**
 * What the order list of a design costs by the prices of a yard: each amount as it is ordered, whole lengths of pipe, stone with what is
 * ordered over it, times a price between its ends.
 *
 *   cost = sum of amount x price + sums paid once,    from all prices at their lowest to all at their highest
 *
 * Prices of one yard and one year rise and fall together, so the ends of the band are those of all prices at once; were each drawn for
 * itself the band would be narrower.
 *
 * @source  amounts of `takeOff`
 */
export function costOf(site: Site, prices: Prices, list: TakeOff = takeOff(site)): Cost {
  const lines: CostLine[] = [];
  const unpriced: PriceKey[] = [];
  for (const { key, bulk = 0, mass = 0, amount = 0, measured } of amountsOf(list)) {
    const price: PriceRange | LoadPrice | null = prices[key];
    const isMass = price !== null && "of" in price && price.of === "mass";
    const counted = measured === "bulk" && bulk > 0 ? (isMass ? mass : bulk) : amount;
    if (!(counted > 0)) continue;
    if (price === null) unpriced.push(key);
    else lines.push(lineOf({ key, name: "", amount: counted, measured: isMass ? "mass" : measured, price }));
  }
  for (const { name, from, to } of prices.lumpSums) lines.push(lineOf({ key: null, name, amount: 1, measured: "pieces", price: { from, to } }));
  const sum = (end: "low" | "high"): number => lines.reduce((total, line) => total + line[end], 0);
  const [low, high] = [sum("low"), sum("high")];
  return { currency: prices.currency, lines, low, middle: (low + high) / 2, high, unpriced };
}

function lineOf(line: Omit<CostLine, "low" | "high">): CostLine {
  return { ...line, low: line.amount * line.price.from, high: line.amount * line.price.to };
}

interface Amount {
  readonly key: PriceKey;
  readonly measured: Measured;
  /** of what is sold by volume or by mass: both */
  readonly bulk?: number;
  readonly mass?: number;
  readonly amount?: number;
}

/** What the order list counts, in the order of the working days. */
function amountsOf({ dig, lay, fill, cover, figures }: TakeOff): Amount[] {
  const metres = (isPerforated: boolean): number => {
    const runs = lay.pipes.filter(({ name }) => (name === PERFORATED_PIPE) === isPerforated);
    const sizes = [...new Set(runs.map(({ diameter }) => diameter))];
    const whole = (size: number): number => pipeLengths(runs.filter(({ diameter }) => diameter === size), figures.pipeLength).length;
    return sizes.reduce((sum, size) => sum + figures.pipeLength * whole(size), 0);
  };
  const pieces = (key: PriceKey, amount: number): Amount => ({ key, measured: "pieces", amount });
  return [
    { key: "dig", measured: "bulk", amount: dig.volume },
    { key: "cartAway", measured: "bulk", bulk: cover.spoilLoose, mass: cover.spoilMass },
    { key: "stone", measured: "bulk", bulk: fill.ordered, mass: fill.mass },
    { key: "fabric", measured: "sheet", amount: lay.fabric.total },
    { key: "pipe", measured: "length", amount: metres(false) },
    { key: "perforatedPipe", measured: "length", amount: metres(true) },
    pieces("fitting", lay.fittings.reduce((sum, { count }) => sum + count, 0)),
    pieces("settlingBox", lay.boxes.length),
    pieces("chamber", lay.chambers.reduce((sum, { count }) => sum + count, 0)),
    pieces("emitter", lay.emitter === null ? 0 : 1),
    { key: "turf", measured: "sheet", amount: figures.turfThickness > 0 ? cover.turfArea : 0 },
  ];
}
