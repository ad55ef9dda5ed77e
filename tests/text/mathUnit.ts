import { createFractionClass, createUnitClass, type Fraction, type Unit, type UnitStatic } from "mathjs";

/** A unit as mathjs defines it: `si = (number + offset) * numerator / denominator`, where SI has degC for temperatures. */
export interface MathUnit {
  /** the SI unit it is a multiple of, in mathjs's words: `m^3 / s` */
  readonly si: string;
  readonly numerator: number;
  readonly denominator: number;
  readonly offset: number;
}

/**
 * What mathjs knows of a unit, as an exact ratio.
 *
 * mathjs's functions multiply decimals; its Unit over its Fraction, with the few operations that a conversion calls for, is exact.
 *
 * @param name  a unit as mathjs writes it: `ft^2`, `gal/minute`
 * @throws SyntaxError  when mathjs knows no such unit
 */
export function mathUnit(name: string): MathUnit {
  const one = new MathjsUnit(exact(1), name);
  const inSI = one.toSI();
  const si = inSI.formatUnits();
  if (si !== "K") return { si, ...ratio(inSI.toNumeric() as Fraction), offset: 0 };
  const atZero = new MathjsUnit(exact(0), name).toNumeric("degC") as Fraction;
  const degree = (one.toNumeric("degC") as Fraction).sub(atZero);
  return { si: "degC", ...ratio(degree), offset: Number(atZero.div(degree)) };
}

function ratio({ n, d }: Fraction): { numerator: number; denominator: number } {
  return { numerator: Number(n), denominator: Number(d) };
}

declare module "mathjs" {
  // mathjs exports these, its types leave them out
  function createFractionClass(): new (decimals: string) => Fraction;
  function createUnitClass(parts: Readonly<Record<string, unknown>>): UnitStatic & (new (value: Fraction, name: string) => Unit);
}

const MathjsFraction = createFractionClass();

type Operand = number | string | Fraction;

/**
 * The fraction that the decimals of a number say, 45359237 / 10^8 for 0.45359237; from the number itself mathjs would make
 * 2807065 / 6188519, which is near. mathjs calls this with `new`, as the constructor of its fractions.
 */
function exact(over: Operand, under?: number): Fraction {
  const fraction = typeof over === "object" ? over : new MathjsFraction(String(over));
  return under === undefined ? fraction : fraction.div(under);
}

function unneeded(): never {
  throw new Error("mathUnit: a part of mathjs that the conversion of units does without");
}

/** mathjs's class of units, over fractions; it asks for all it could ever call, of which conversion calls the first half. */
const MathjsUnit = createUnitClass({
  config: { number: "Fraction" },
  Fraction: exact,
  addScalar: (a: Operand, b: Operand) => exact(a).add(exact(b)),
  subtractScalar: (a: Operand, b: Operand) => exact(a).sub(exact(b)),
  multiplyScalar: (a: Operand, b: Operand) => exact(a).mul(exact(b)),
  divideScalar: (a: Operand, b: Operand) => exact(a).div(exact(b)),
  pow: (a: Operand, b: Operand) => exact(a).pow(exact(b)),
  isNumeric: () => true,
  number: Number,
  Complex: { I: null },
  BigNumber: unneeded,
  abs: unneeded,
  fix: unneeded,
  round: unneeded,
  equal: unneeded,
  format: unneeded,
});
// mathjs rounds it to 4046.86 m2
MathjsUnit.createUnit({ acre: "43560 sqft" }, { override: true });
