import fc from "fast-check";
import { expect, test } from "vitest";
import { intervalRow } from "../../lib/rain/record/intervalRow.ts";

type Deed = readonly ["seek" | "insert" | "removeBefore" | "removeNext", number];

const deeds: fc.Arbitrary<Deed> = fc.tuple(fc.constantFrom("seek", "insert", "insert", "insert", "removeBefore", "removeNext"), fc.integer({ min: 0, max: 3000 }));

// the reference: one plain list and a place in it
test("is a list in order with a place in it, over many blocks and back to none", () => {
  fc.assert(fc.property(fc.array(deeds, { minLength: 1, maxLength: 3000, size: "max" }), (all) => {
    const row = intervalRow();
    const list: number[] = [];
    let place = 0;
    for (const [deed, time] of all) {
      if (deed === "seek" || deed === "insert") {
        row.seek(time);
        place = list.filter((start) => start <= time).length;
      }
      if (deed === "insert") {
        row.insert(time, time + 1, 0.5);
        list.splice(place++, 0, time);
      } else if (deed === "removeBefore") {
        row.removeBefore();
        if (place > 0) list.splice(--place, 1);
      } else if (deed === "removeNext") {
        row.removeNext();
        list.splice(place, 1);
      }
      const [before, next] = [row.before()?.start, row.next()?.start];
      if (row.count !== list.length || before !== list[place - 1] || next !== list[place]) return false;
    }
    const found: number[] = [];
    row.forEach(({ start }) => found.push(start));
    expect(found).toEqual(list);
    return true;
  }), { numRuns: 30 });
});
