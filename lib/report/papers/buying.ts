import { fabricPlan, type FabricPlan, pipeLengths, wrappedBlocks } from "../../plan/cutPlan.ts";
import { PERFORATED_PIPE } from "../../plan/pipeOrder.ts";
import { headBends } from "../../plan/pipeTurns.ts";
import { takeOff, type TakeOff } from "../../plan/takeOff.ts";
import { type Load, materialFigures } from "../../site/materials.ts";
import type { SettlingBox, Site } from "../../site/site.ts";
import type { PhraseKey } from "./phrases.ts";
import { counted, countedUnit, type Reader } from "./reader.ts";
import { holeWords } from "./words.ts";

/** A line of the buying list. */
export interface BuyRow {
  readonly item: string;
  readonly amount: string;
  readonly unit: string;
  readonly note: string;
  /** size of a fitting, which the sheet gathers; null for all else */
  readonly fitting: string | null;
}

/** What is bought, in the units it is sold in, with how it is cut. */
export interface Buying {
  readonly list: TakeOff;
  readonly rows: readonly BuyRow[];
  readonly fabric: FabricPlan;
}

export function buying(site: Site, reader: Reader): Buying {
  const { say, size, bore, length, units } = reader;
  const list = takeOff(site);
  const { figures } = materialFigures(site);
  const { lay, fill, cover } = list;
  const fabric = fabricPlan(wrappedBlocks(site), { roll: figures.fabricRoll, rollLength: figures.fabricRollLength,
    lap: figures.fabricLap });
  const split = (text: string): { amount: string; unit: string } => {
    const at = text.indexOf(" ");
    return { amount: text.slice(0, at), unit: text.slice(at + 1) };
  };
  const load = loadWords(fill.load, reader);
  const pair = headBends(site);
  const rows: BuyRow[] = [
    {
      item: say("buy.stone", { size: say(units === "us" ? "buy.stoneSizeUs" : "buy.stoneSizeSi") }), ...split(reader.bulk(fill.ordered)),
      note: say("buy.stoneNote", {
        pit: reader.bulk(fill.pitStone), trench: fill.trenchStone > 0 ? reader.bulk(fill.trenchStone) : "–", bed: reader.bulk(lay.bed), spare: reader.figure(100 * figures.stoneSpare),
        mass: reader.mass(fill.mass), loads: counted(fill.loads, "load", reader), load,
      }), fitting: null,
    },
    {
      item: say("buy.fabric"), amount: String(fabric.used.length), unit: countedUnit(fabric.used.length, "roll", say),
      note: say("buy.fabricNote", { wide: length(figures.fabricRoll), long: length(figures.fabricRollLength), used: fabric.used.map(length).join(" + ") }), fitting: null,
    },
    ...pipeRows(site, list, reader),
    ...lay.fittings.map(({ name, diameter, count, degrees, pegs }): BuyRow => ({ item: say(FITTINGS[name]!, { size: size(site.emitter?.weepHole?.diameter ?? 0), degrees: reader.number(String(degrees ?? pair?.degrees ?? 0)), apart: reader.tape(pair?.apart ?? 0), pegs: pegs.join(", ") }), amount: String(count), unit: countedUnit(count, "piece", say), note: say("buy.bore", { size: bore(diameter) }), fitting: bore(diameter) })),
    ...site.settlingBoxes.map(({ plan, rim, floor, name }): BuyRow => ({
      item: site.settlingBoxes.length === 1 ? say("buy.box") : `${say("buy.box")}: ${name}`, amount: "1", unit: countedUnit(1, "piece", say),
      note: say("buy.boxSize", { plan: planWords(plan, 0, size), high: reader.between(rim, floor), outside: planWords(plan, 2 * figures.boxWall, size) }), fitting: null,
    })),
    ...lay.chambers.map(({ count, insideDiameter, outsideDiameter, height }): BuyRow => ({
      item: say("buy.chamber"), amount: String(count), unit: countedUnit(count, "piece", say), note: say("buy.chamberSize", { inside: size(insideDiameter), outside: size(outsideDiameter), high: size(height) }), fitting: null,
    })),
    ...lay.chambers.map(({ count, outsideDiameter }): BuyRow => ({ item: say("buy.cover"), amount: String(count), unit: countedUnit(count, "piece", say), note: `⌀ ${size(outsideDiameter)}`, fitting: null })),
    ...(lay.emitter === null ? [] : [{ item: say("buy.emitter"), amount: "1", unit: countedUnit(1, "piece", say), note: say("buy.bore", { size: bore(lay.emitter) }), fitting: null }]),
    ...(cover.turfArea > 0 && figures.turfThickness > 0 ? [{ item: say("buy.turf"), ...split(reader.sheet(cover.turfArea)), note: size(figures.turfThickness), fitting: null }] : []),
  ];
  return { list, rows, fabric };
}

/** A box from above, as much wider as both its walls are thick. */
function planWords(plan: SettlingBox["plan"], more: number, size: Reader["size"]): string {
  return "diameter" in plan ? `⌀ ${size(plan.diameter + more)}` : `${size(plan.length + more)} × ${size(plan.width + more)}`;
}

/** The cut list: across the roll times along it. */
export function cutWords({ pieces }: FabricPlan, { say, tape }: Reader): string {
  const counted = new Map<string, number>();
  for (const { block, part, across, long } of pieces) {
    const what = part === "end" ? say("cut.end", { block: say(`cut.${block}`) }) : say(`cut.${block}`);
    const text = `${what} ${tape(across)} × ${tape(long)}`;
    counted.set(text, (counted.get(text) ?? 0) + 1);
  }
  return [...counted].map(([text, count]) => `${count} × ${text}`).join("; ");
}

function pipeRows(site: Site, { lay, figures }: TakeOff, reader: Reader): BuyRow[] {
  const { say, bore, size, tape, tapeStep, length } = reader;
  const kinds = new Map<string, { perforated: boolean; diameter: number; runs: { name: string; length: number }[] }>();
  for (const { name, diameter, length: long } of lay.pipes) {
    const perforated = name === PERFORATED_PIPE;
    const key = `${perforated} ${diameter}`;
    const kind = kinds.get(key) ?? { perforated, diameter, runs: [] };
    // up to what a tape tells, so that cuts and what is left add up to whole lengths
    kind.runs.push({ name: pipeWords(site, name, reader), length: Math.ceil(long / tapeStep - 1e-6) * tapeStep });
    kinds.set(key, kind);
  }
  return [...kinds.values()].map(({ perforated, diameter, runs }): BuyRow => {
    const lengths = pipeLengths(runs, figures.pipeLength);
    const outside = perforated ? site.overflowTrench!.pipe!.outsideDiameter : null;
    const rests = lengths.map(({ left }) => left).filter((left) => left > 0.01);
    return {
      item: say(perforated ? "buy.pipePerforated" : "buy.pipeSolid"), amount: String(lengths.length), unit: countedUnit(lengths.length, "length", say),
      note: say("buy.pipeNote", {
        size: outside === null ? say("buy.bore", { size: bore(diameter) }) : say("buy.bores", { size: bore(diameter), outside: size(outside) }), whole: length(figures.pipeLength), cuts: runs.map((run) => `${run.name} ${tape(run.length)}`).join(", "),
        left: rests.length === 0 ? "–" : rests.map(tape).join(", "),
      }), fitting: null,
    };
  });
}

/** How large a load is. */
export function loadWords(load: Load, { say, mass, bulk }: Reader): string {
  return "mass" in load ? mass(load.mass) : say("buy.loadBulk", { bulk: bulk(load.volume) });
}

function pipeWords(site: Site, name: string, reader: Reader): string {
  if (name === PERFORATED_PIPE) return reader.say("pipe.trench");
  if (name === "riser of the emitter") return reader.say("pipe.riser");
  if (name === "standpipe") return reader.say("pipe.standpipe");
  return holeWords(site, name, "pipe", reader);
}

/** The fittings of the order list in the papers' words. */
const FITTINGS: Readonly<Record<string, PhraseKey>> = Object.freeze({
  "outlet in the box's wall": "fit.boxOutlet", "mouth in the pit": "fit.pitMouth", "mouth in the trench": "fit.trenchMouth", "coupling to the trench pipe": "fit.trenchCoupling",
  "coupling between pieces": "fit.coupling", "elbow under the emitter": "fit.elbow", "tee under the emitter, for its weep hole": "fit.tee",
  "bend to the level of the trench pipe": "fit.trenchBend", "bend, laid level": "fit.levelBend", "flexible coupling": "fit.flexible", "cap of the standpipe": "fit.cap", "end cap of the trench pipe": "fit.endCap", "screen in front of the box's outlet": "fit.screen",
  "seal in the box's wall": "fit.seal", "plug for the box's outlet, for the fill test": "fit.plug", "reducer to the trench pipe": "fit.reducer", "reducer to the riser": "fit.riserReducer",
});

/**
 * The buying list as CSV in UTF-8: item, amount, unit, size and cuts. Where the reader's decimal mark is a comma the columns part at
 * semicolons, as spreadsheets of such places write them.
 *
 * @source  RFC 4180 for quotes and line ends
 */
export function orderCsv(site: Site, reader: Reader): string {
  const { say } = reader;
  const mark = reader.number("1.5") === "1,5" ? ";" : ",";
  const lines = [
    [say("buy.head.item"), say("buy.head.amount"), say("buy.head.unit"), say("buy.head.note")],
    ...buying(site, reader).rows.map(({ item, amount, unit, note }) => [item, amount, unit, note]),
  ];
  return lines.map((cells) => cells.map((cell) => quoted(cell, mark)).join(mark)).join("\r\n") + "\r\n";
}

/** A cell that a spreadsheet would take for a formula gets a quote in front. */
function quoted(cell: string, mark: string): string {
  const safe = /^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
  return safe.includes(mark) || /["\r\n]/.test(safe) ? `"${safe.replace(/"/g, '""')}"` : safe;
}
