import { bandText } from "../figures/exceedanceFigure.ts";
import { ink, lines } from "../figures/look.ts";
import type { Banded } from "../study/lotResults.ts";
import { displayUnits, levelText, threeFigures, volumeText } from "../text/format.ts";
import { lastingText } from "../text/hours.ts";
import { heightText, percentText } from "../text/words.ts";
import { DECIDER_WORDS, DECIDERS, STATE_WORDS, STATES, testWords, type LotsTold } from "./lotsTold.ts";

/**
 * What the script of a page of lots draws, a list a lot in the order of `columns`: words as everywhere, and numbers to sort and draw by in
 * SI, null if missing.
 */
export function lotsData(told: LotsTold): object {
  const { pattern, lots, keys, soils, rises, years, table, patternPath } = told;
  const { units } = pattern;
  const { label, size } = displayUnits(units).level;
  const riseOf = new Map(rises.map(({ lot, rise }) => [lot, rise]));
  const volume = (value: number): string => volumeText(value, units);
  return {
    columns: COLUMNS,
    soils,
    hasRise: rises.length > 0,
    hasYears: years !== null,
    hasLid: pattern.emitter !== null,
    keys,
    states: STATES.map((state) => STATE_WORDS[state]),
    deciders: DECIDERS.map((name) => DECIDER_WORDS[name]),
    command: `soakstep lots ${table} --site ${patternPath} --lot NAME`,
    map: { unit: label, metres: size },
    colors: {
      pit: lines.pit.color,
      lid: lines.emitter.color,
      rule: ink.rule,
      soft: ink.soft,
      text: ink.text,
      states: [lines.pit.color, lines.box.color, lines.emitter.color, ink.soft],
    },
    rows: lots.map((each): Record<(typeof COLUMNS)[number], unknown> => {
      const { lot, result } = each;
      const {
        pit: { floor, ground },
        place,
      } = lot;
      const { pitPeak, emitterVolume, half } = result.answers;
      const below: Banded = { own: ground - pitPeak.own, least: ground - pitPeak.most, most: ground - pitPeak.least };
      const rise = riseOf.get(result.lot);
      const inYears = years?.lots.get(result.lot);
      const often = pattern.emitter === null ? inYears?.spillStorms : inYears?.firingStorms;
      return {
        name: lot.name,
        state: STATES.indexOf(result.state),
        out: sortable(result.out.own),
        outMost: sortable(result.out.most),
        outText: banded(result.out, volume),
        lidText: figure(emitterVolume.own, volume),
        isOpen: emitterVolume.own > 0,
        pit: sortable(below.own),
        pitText: banded(below, (value) => levelText(value, units)),
        half: sortable(half.own),
        halfText: figure(half.own, lastingText),
        holds: sortable(result.holds),
        holdsText: figure(result.holds, (share) => String(Math.round(share * soils))),
        decides: result.decides === null ? DECIDERS.length : DECIDERS.indexOf(result.decides),
        keepsText: result.decides === null || result.decides === "rain" ? "" : percentText(result.keeps),
        tests: lot.tested === true ? 0 : sortable(result.testTells),
        testText: testWords(each),
        runsTo: lot.runsTo,
        rise: sortable(rise ?? NaN),
        riseText: figure(rise ?? NaN, (value) => heightText(value, units)),
        often: sortable(often?.own ?? NaN),
        oftenText: often === undefined ? NONE : banded(often, threeFigures),
        yearText: inYears === undefined || pattern.emitter === null ? "" : banded(inYears.emitterVolume, volume),
        greatestText: inYears === undefined || pattern.emitter === null ? "" : banded(inYears.greatestStorm, volume),
        wetText: inYears === undefined ? "" : banded(inYears.wet, percentText),
        fill: sortable((pitPeak.own - floor) / (ground - floor)),
        x: sortable(place?.x ?? NaN),
        y: sortable(place?.y ?? NaN),
        rings: (place?.rings ?? []).map((ring) => ring.map(([x, y]) => [sortable(x), sortable(y)])),
        values: lot.values,
      };
    }).map((row) => COLUMNS.map((name) => row[name])),
  };
}

const COLUMNS = [
  "name", "state", "out", "outMost", "outText", "lidText", "isOpen", "pit", "pitText", "half", "halfText", "holds", "holdsText", "decides",
  "keepsText", "tests", "testText", "runsTo", "rise", "riseText", "often", "oftenText", "yearText", "greatestText", "wetText", "fill", "x", "y",
  "rings", "values",
] as const;

const NONE = "–";

/** To the millimetre, or a thousandth of a share. */
function sortable(value: number): number | null {
  return Number.isFinite(value) ? Number(value.toFixed(3)) : null;
}

function figure(value: number, text: (value: number) => string): string {
  return Number.isNaN(value) ? NONE : text(value);
}

/** The lot's own, and in brackets the least and the most of all its soils. */
function banded({ own, least, most }: Banded, text: (value: number) => string): string {
  if (Number.isNaN(least)) return NONE;
  return bandText({ value: own, low: least, high: most }, (value) => figure(value, text));
}
