import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { networkOf } from "../simulate/assemble.ts";
import { rainToFill } from "../simulate/rainToFill.ts";
import type { Site } from "../site/site.ts";
import { displayUnits, levelText, volumeText } from "../text/format.ts";
import type { Annotation, Figure, LineTrace } from "./figure.ts";
import type { FigureOptions } from "./levelFigure.ts";
import { labelHeight, levelLabels, levelLabelsWidth, type LevelPanel } from "./levelLabels.ts";
import { answerTitle, baseLayout, font, ink, letterSizes, lines, quietAxis, quietConfig, type Tone } from "./look.ts";
import { stackPanels } from "./panels.ts";
import { plainText, plotText } from "../text/plainText.ts";
import { NARROW } from "./plotEdges.ts";
import { referenceLevels } from "./referenceLevels.ts";
import { shortNumber } from "../text/shortNumber.ts";
import { textWidth } from "./textWidth.ts";

/**
 * How much each body holds at every level, from its floor to the ground, with the levels that matter at the edge. A bend is a corner
 * of the works: the foot or the top of the chambers, the pipe, the stone's top. The title is the answer: the room up to where water
 * first comes out.
 */
export function storageFigure(site: Site, options: FigureOptions = {}): Figure {
  const width = options.width ?? 960;
  const narrow = width < NARROW;
  const { body: size } = letterSizes(width);
  const { level: levelUnit, volume: volumeUnit } = displayUnits(site.units);
  const over = site.overflowTrench?.ground ?? { high: -Infinity, low: -Infinity };
  const top = greatestOf([site.chamberBank.ground, over.high, over.low, ...site.settlingBoxes.map(({ rim }) => rim)]);
  const curves = curvesOf(site, top);
  const references = referenceLevels(site).filter(({ major, around }) => !around && (major || !narrow));
  const low = leastOf(curves.map(({ levels }) => levels[0]!));
  const air = 0.04 * (top - low);
  const panel: LevelPanel = {
    axis: "y", low: low - air, high: top + air, unit: levelUnit.size,
    height: Math.max(narrow ? 300 : 340, references.length * labelHeight(width)),
  };
  const most = greatestOf(curves.flatMap(({ volumes }) => [...volumes])) / volumeUnit.size;
  const right = levelLabelsWidth(references, panel, width);
  const left = narrow ? 40 : 50;
  const still = levelLabels(references, panel, width);
  const stack = stackPanels([{ heading: `level, ${levelUnit.label}`, height: panel.height }], width);
  const answer = storageAnswer(site);
  const title = options.title === false ? null : answerTitle(plotText(answer, Infinity), plotText(plainText(site.name, 60)), width);
  const titleHeight = title?.height ?? 4;
  const pixel = (1.04 * most) / (width - left - right);
  return {
    data: curves.map(({ words, tone, levels, volumes }): LineTrace => ({
      type: "scatter", mode: "lines", name: words, x: Array.from(volumes, (each) => shortNumber(each / volumeUnit.size)),
      y: Array.from(levels, (each) => shortNumber(each / levelUnit.size)), line: lines[tone], hoverinfo: "skip",
      xaxis: "x", yaxis: "y", showlegend: false,
    })),
    layout: {
      ...baseLayout(width),
      ...(title === null ? {} : { title: title.title }),
      height: Math.round(titleHeight + stack.height + BOTTOM),
      margin: { l: left, r: right, t: titleHeight, b: BOTTOM },
      hovermode: false,
      dragmode: false,
      xaxis: {
        ...quietAxis(width), range: [0, 1.04 * most], anchor: "y", nticks: narrow ? 5 : 9, fixedrange: true, ticks: "outside", ticklen: 4,
        tickcolor: ink.rule, showline: true, linecolor: ink.rule,
        title: { text: `held, ${volumeUnit.label}`, font: font(letterSizes(width).small, ink.text), standoff: 8 },
      },
      yaxis: {
        ...quietAxis(width), domain: stack.domains[0]!, range: [panel.low / panel.unit, panel.high / panel.unit], nticks: 9,
        fixedrange: true,
      },
      annotations: [...stack.headings, ...still.annotations, ...curves.map((curve): Annotation => {
        const end = curve.volumes.at(-1)! / volumeUnit.size;
        const room = Math.max(0, Math.min(end / pixel - textWidth(curve.words, size, true) - 6, width - left - right));
        return {
          text: `<b>${plotText(curve.words)}</b>`, x: shortNumber(room * pixel), y: shortNumber(curve.levels.at(-1)! / levelUnit.size), xref: "x",
          yref: "y", xanchor: "left", yanchor: "top", yshift: -2, showarrow: false, font: font(size, lines[curve.tone].color),
          bgcolor: "rgba(255,255,255,0.8)", borderpad: 0,
        };
      })],
      shapes: still.shapes,
    },
    config: quietConfig(),
    answer,
    description: `What each body holds at every level. ${answer}`,
  };
}

const BOTTOM = 46;
/** Levels at which a curve is drawn. */
const POINTS = 120;

interface StorageCurveDrawn {
  readonly words: string;
  readonly tone: Tone;
  readonly levels: Float64Array;
  readonly volumes: Float64Array;
}

/** Pit, trench and boxes; segments of a trench are one curve. */
function curvesOf(site: Site, top: number): StorageCurveDrawn[] {
  const kinds: readonly { readonly kinds: readonly string[]; readonly words: string; readonly tone: Tone }[] = [
    { kinds: ["bank"], words: "pit", tone: "pit" }, { kinds: ["trench", "pipe"], words: "trench", tone: "trench" },
    { kinds: ["box"], words: site.settlingBoxes.length === 1 ? "box" : "boxes", tone: "box" },
  ];
  const { bodies } = networkOf(site);
  return kinds.flatMap(({ kinds: its, words, tone }) => {
    const found = bodies.filter(({ kind }) => its.includes(kind));
    if (found.length === 0) return [];
    const floor = leastOf(found.map(({ storage }) => storage.floor));
    const levels = Float64Array.from({ length: POINTS }, (_, i) => floor + ((top - floor) * i) / (POINTS - 1));
    const volumes = levels.map((level) => found.reduce((sum, { storage, volume }) => sum + volume(Math.max(level, storage.floor)), 0));
    return [{ words, tone, levels, volumes }];
  });
}

function storageAnswer(site: Site): string {
  const { level, freeVolume } = rainToFill(site);
  return `There is room for ${volumeText(freeVolume, site.units)} up to ${levelText(level, site.units)}, where water first comes out.`;
}
