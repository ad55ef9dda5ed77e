import { type Field, mapped, orNone, withDefault } from "../schema/field.ts";
import { listField } from "../schema/listField.ts";
import { objectField } from "../schema/objectField.ts";
import { nameField, numberField, proseField, quantityField } from "../schema/scalarFields.ts";
import type { Dimension } from "../text/quantity.ts";
import { loadField, type Load } from "./materials.ts";

/** What a yard and a crew ask, each a range, in one money. */
export interface Prices {
  /** what a reader should know of them: whose they are, of when, what is in them */
  readonly about: string;
  /** as it is written behind an amount: `USD`, `€` */
  readonly currency: string;
  /** of a cubic metre dug, as it lies in the ground */
  readonly dig: PriceRange | null;
  /** of spoil that is left, by what it weighs or by how much it is loose */
  readonly cartAway: LoadPrice | null;
  /** of stone as ordered, by what it weighs or by how much it is */
  readonly stone: LoadPrice | null;
  /** of a square metre off the roll */
  readonly fabric: PriceRange | null;
  /** of a metre of pipe as bought, closed and perforated */
  readonly pipe: PriceRange | null;
  readonly perforatedPipe: PriceRange | null;
  /** of a piece */
  readonly fitting: PriceRange | null;
  readonly settlingBox: PriceRange | null;
  readonly chamber: PriceRange | null;
  readonly emitter: PriceRange | null;
  /** of a square metre */
  readonly turf: PriceRange | null;
  /** what is paid once, whatever the sizes */
  readonly lumpSums: readonly ({ readonly name: string } & PriceRange)[];
}

/** From the lowest to the highest, of one unit of SI, or of one piece. */
export interface PriceRange {
  readonly from: number;
  readonly to: number;
}

/** The same of a kilogram, or of a cubic metre. */
export interface LoadPrice extends PriceRange {
  readonly of: "mass" | "volume";
}

/** What has a price, lump sums aside. */
export type PriceKey = Exclude<keyof Prices, "about" | "currency" | "lumpSums">;

/** Prices that stand in a file of their own, which serves many sites. */
export interface PricesFile {
  readonly file: string;
}

/** Prices in the site file, or the name of a file that holds them. */
export function pricesField(): Field<Prices | PricesFile | null> {
  const own = pricesObject();
  const file = objectField<PricesFile>("the name of a file of prices, looked for beside the site file", { file: nameField("name of the file") });
  return orNone({
    about: own.about,
    hole: null,
    schema: { description: own.about, oneOf: [own.schema, file.schema] },
    read: (value, where, findings) => (
      typeof value === "object" && value !== null && "file" in value ? file.read(value, where, findings) : own.read(value, where, findings)),
  });
}

/** The same prices, wherever they stand. */
export function pricesObject(): Field<Prices> {
  return objectField<Prices>("unit prices of a yard and a crew, each from its lowest to its highest, for what the order list counts", {
    about: withDefault(proseField("whose prices they are, of when, and what is in them"), ""),
    currency: nameField("the money, as it is written behind an amount"),
    dig: per("digging, as it lies in the ground; laid in, filled and put back where that is in it", "volume", "from 0.001 to 10000 m^3"),
    cartAway: perLoad("carting away what is left of the spoil"),
    stone: perLoad("stone as ordered, brought"),
    fabric: per("fabric off the roll", "area", "from 0.01 to 10000 m^2"),
    pipe: per("closed pipe, in the lengths it is bought in", "length", METRES),
    perforatedPipe: per("perforated pipe, in the lengths it is bought in", "length", METRES),
    fitting: piece("a fitting"),
    settlingBox: piece("a settling box with its lid"),
    chamber: piece("a chamber"),
    emitter: piece("an outlet lid"),
    turf: per("turf", "area", "from 0.01 to 10000 m^2"),
    lumpSums: withDefault(listField("what is paid once, whatever the sizes: a machine to the site and back, a permit", inOrder(objectField<Prices["lumpSums"][number]>(
      "a sum", { name: nameField("what it is for"), from: price("the lowest sum"), to: price("the highest sum") },
    ))), []),
  });
}

const METRES = "from 0.01 to 1000 m";

/** Of a piece. */
function piece(about: string): Field<PriceRange | null> {
  return orNone(inOrder(objectField<PriceRange>(`what ${about} costs`, { from: price("the lowest price"), to: price("the highest price") })));
}

/** Of so much of something that is measured. */
function per(about: string, dimension: Dimension, range: string): Field<PriceRange | null> {
  const written = objectField<PriceRange & { readonly per: number }>(`what ${about} costs`, {
    per: quantityField("for how much the price is", dimension, range), from: price("the lowest price"), to: price("the highest price"),
  });
  return orNone(mapped(inOrder(written), ({ per: amount, from, to }) => ({ from: from / amount, to: to / amount })));
}

/** Of something that is sold by what it weighs, or by how much it is. */
function perLoad(about: string): Field<LoadPrice | null> {
  const written = objectField<PriceRange & { readonly per: Load }>(`what ${about} costs`, {
    per: loadField("for how much the price is"), from: price("the lowest price"), to: price("the highest price"),
  });
  return orNone(mapped(inOrder(written), ({ per: load, from, to }): LoadPrice => {
    const [of, amount] = "mass" in load ? ["mass" as const, load.mass] : ["volume" as const, load.volume];
    return { of, from: from / amount, to: to / amount };
  }));
}

function price(about: string): Field<number> {
  return numberField(about, "from 0 to 1000000000000");
}

function inOrder<T extends PriceRange>(field: Field<T>): Field<T> {
  return {
    ...field,
    read: (value, where, findings) => {
      const read = field.read(value, where, findings);
      if (read.from > read.to) {
        findings.problems.push({ where: `${where}.to`, expected: `a price of ${read.from} or more, as "from" has it`, got: String(read.to), code: "range" });
      }
      return read;
    },
  };
}
