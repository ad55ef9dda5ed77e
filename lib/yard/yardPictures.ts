import { greatestOf, leastOf } from "../numerics/extremes.ts";
import { ink, lines } from "../figures/look.ts";
import { levelText, lengthText, type UnitSystem } from "../text/format.ts";
import { html, trusted, type Markup } from "../report/markup.ts";
import type { HoleVerdict } from "./holeVerdict.ts";
import { clampX, picture, px, size } from "./pictureFrame.ts";
import { partSize, standardParts } from "./standardParts.ts";
import type { YardSketch } from "./yardSketch.ts";

/** The roof in plan, each rectangle beside the last. */
export function roofPicture({ roof }: YardSketch, width: number): Markup | null {
  if (roof.length === 0) return null;
  const gap = 1;
  const long = roof.reduce((sum, { length }) => sum + length + gap, -gap);
  const high = greatestOf([...roof.map((piece) => piece.width)]);
  const scale = Math.min(width / long, 90 / high);
  let x = 0;
  const shapes = roof.map(({ length, width: wide, notchLength, notchWidth }) => {
    const [l, w, n, m] = [length, wide, notchLength, notchWidth].map((each) => each * scale) as [number, number, number, number];
    const at = x;
    x += (length + gap) * scale;
    return html`<path
      d="M${px(at)} 0h${px(l - n)}v${px(m)}h${px(n)}v${px(w - m)}h${px(-l)}z"
      fill="#eef1f3"
      stroke="${ink.text}"
      stroke-width="1.2"
    />`;
  });
  return picture("The roof in plan", width, Math.ceil(high * scale) + 2, shapes);
}

/** The yard from the side: the ground through the readings, the works in it, heights stretched five times at most. */
export function sectionPicture(sketch: YardSketch, width: number): Markup | null {
  const { levels, works, units, groundwater } = sketch;
  const along = pointsAlong(sketch).filter(({ name }) => levels.has(name));
  if (along.length < 2) return null;
  const parts = standardParts(units);
  const ground = along.map(({ name, x }) => ({ name, x, level: levels.get(name)! }));
  const lowest = leastOf([
    ...ground.map(({ level }) => level),
    ...(works === null ? [] : [works.levels.pitFloor, ...(works.levels.trenchLow === null ? [] : [works.levels.trenchLow])]),
    ...(groundwater === null ? [] : [Math.max(groundwater, (works?.levels.pitFloor ?? groundwater) - 1)]),
  ]);
  const highest = greatestOf([...ground.map(({ level }) => level)]);
  const [from, to] = [ground[0]!.x - 1, ground.at(-1)!.x + 1.2];
  const left = 6;
  const across = (width - 2 * left) / (to - from);
  const stretch = Math.min(5, Math.max(1, 150 / ((highest - lowest + 0.5) * across)));
  const up = across * stretch;
  const top = 58;
  const X = (x: number): number => left + (x - from) * across;
  const Y = (level: number): number => top + (highest - level) * up;
  const height = Math.ceil(Y(lowest) + 34);
  // the ground over the pit is taken as level, one reading having been taken there
  const turf = ground.flatMap((point) => (point.name === "pit" ? [point, { ...point, x: point.x + pitLengthOf(sketch) }] : [point]));
  const surface = turf.map(({ x, level }, i) => `${i === 0 ? "M" : "L"}${px(X(x))} ${px(Y(level))}`).join("");
  const earth = `M${px(X(from))} ${px(Y(ground[0]!.level))}${turf.map(({ x, level }) => `L${px(X(x))} ${px(Y(level))}`).join("")}L${px(X(to))} ${px(Y(ground.at(-1)!.level))}V${height - 14}H${px(X(from))}z`;
  const rows: number[] = [];
  const marks = ground.map(({ name, x, level }) => {
    const text = name === "low point" ? "low" : name;
    const label = `${text} ${levelText(level, units)}`;
    const half = label.length * 2.9;
    const middle = clampX(X(x), width, half + 2);
    // the first row in which nothing stands in the way
    let row = rows.findIndex((end) => end < middle - half - 4);
    if (row < 0) row = rows.length;
    rows[row] = middle + half;
    return html`<path d="M${px(X(x))} ${px(Y(level))}V${px(14 + 13 * row + 4)}" stroke="${ink.rule}" />
      <text x="${px(middle)}" y="${px(14 + 13 * row)}" text-anchor="middle" font-size="10.5" fill="${ink.text}">${label}</text>`;
  });
  const at = (name: string): number => pointsAlong(sketch).find((point) => point.name === name)!.x;
  const drawn: Markup[] = [];
  if (works !== null) {
    const { levels: l, pitLength, trenchLength, chambers } = works;
    const pitFrom = at("pit");
    const box = at("box");
    const d = partSize(parts, "pipe");
    drawn.push(
      html`<rect
        x="${px(X(box) - 4)}"
        y="${px(Y(levels.get("box")!))}"
        width="8"
        height="${size((levels.get("box")! - l.boxOutlet + partSize(parts, "sump")) * up)}"
        fill="#fff"
        stroke="${lines.box.color}"
        stroke-width="1.6"
      />`,
      html`<path
        d="M${px(X(box))} ${px(Y(l.boxOutlet + d / 2))}L${px(X(pitFrom))} ${px(Y(l.pitInlet + d / 2))}"
        stroke="${lines.box.color}"
        stroke-width="3"
      />`,
      html`<rect
        x="${px(X(pitFrom))}"
        y="${px(Y(l.stoneTop))}"
        width="${size(pitLength * across)}"
        height="${size((l.stoneTop - l.pitFloor) * up)}"
        fill="#d8dfe3"
        stroke="${lines.pit.color}"
        stroke-width="1.6"
      />`,
    );
    for (let i = 0; i < chambers; i++) {
        const pitch = pitLength / chambers;
        const w = partSize(parts, "chamberInside");
        drawn.push(html`<rect
          x="${px(X(pitFrom + pitch * (i + 0.5) - w / 2))}"
          y="${px(Y(l.stoneTop - partSize(parts, "overChamber")))}"
          width="${size(w * across)}"
          height="${size((l.stoneTop - l.pitFloor - partSize(parts, "overChamber") - partSize(parts, "base")) * up)}"
          fill="#fff"
          stroke="${lines.pit.color}"
          stroke-width="1"
        />`);
    }
    if (l.trenchHigh !== null && l.trenchLow !== null && l.crest !== null) {
      const lid = at("lid");
      const head = lid - trenchLength;
      const stone = partSize(parts, "trenchStone");
      drawn.push(
        html`<path
          d="M${px(X(head))} ${px(Y(l.trenchHigh + stone))}L${px(X(lid))} ${px(Y(l.trenchLow + stone))}V${px(Y(l.trenchLow))}L${px(X(head))} ${px(Y(l.trenchHigh))}z"
          fill="#d5e4e1"
          stroke="${lines.trench.color}"
          stroke-width="1.4"
          stroke-dasharray="5 3"
        />`,
        html`<path d="M${px(X(lid))} ${px(Y(l.trenchLow))}V${px(Y(l.crest))}" stroke="${lines.emitter.color}" stroke-width="3" />`,
        html`<path d="M${px(X(lid) - 5)} ${px(Y(l.crest))}l10 -3" stroke="${lines.emitter.color}" stroke-width="2.4" />`,
      );
    }
  }
  const water =
    groundwater === null || groundwater < lowest - 0.5
      ? null
      : html`<rect
            x="${px(X(from))}"
            y="${px(Y(groundwater))}"
            width="${size((to - from) * across)}"
            height="${size(Math.max(0, height - 14 - Y(groundwater)))}"
            fill="${lines.pit.color}"
            opacity="0.16"
          />
          <path d="M${px(width - 30)} ${px(Y(groundwater) - 7)}h10l-5 7z" fill="none" stroke="${lines.pit.color}" />`;
  return picture(`The yard from the side${works === null ? "" : ", with the works"}`, width, height + 6, [
    html`<path d="${earth}" fill="#f4efe3" />`,
    ...(water === null ? [] : [water]),
    ...drawn,
    html`<path d="${surface}" fill="none" stroke="#6f5b33" stroke-width="2" />`,
    ...marks,
    html`<text x="${left}" y="${height + 2}" font-size="10.5" fill="${ink.soft}"
      >${lengthText(to - from - 2.2, units)} across, heights stretched
      ${stretch < 1.05 ? "not at all" : `${Number(stretch.toFixed(1))} times`}</text
    >`,
  ]);
}

/** The yard from above: by the tape where there is one, else along the water's way. */
export function planPicture(sketch: YardSketch, width: number): Markup | null {
  const { places, works, units, room } = sketch;
  const pitLength = works?.pitLength ?? 3;
  const pitWidth = works?.pitWidth ?? 1.2;
  if (places === null) {
    const along = pointsAlong(sketch);
    if (Object.keys(sketch.distances).length === 0 && room === null) return null;
    const [from, to] = [along[0]!.x - 0.6, Math.max(along.at(-1)!.x, room?.length ?? 0) + 1.5];
    const scale = Math.min((width - 12) / (to - from), ROOM_HIGH / (room?.width ?? 0));
    const X = (x: number): number => 6 + (x - from) * scale;
    const middle = Math.max(58, ((room?.width ?? 0) * scale) / 2 + 26);
    const foot = 2 * middle - 12;
    const at = (name: string): number | undefined => along.find((point) => point.name === name)?.x;
    const [house, box, pit, lid] = ["house", "box", "pit", "lid"].map(at);
    const wide = Math.max(8, pitWidth * scale);
    const spans = (
      [
        ["house", "pit", "houseToPit", 0],
        ["box", "pit", "boxToPit", 1],
        ["pit end", "lid", "pitToLid", 0],
      ] as const
    ).flatMap(([a, b, key, row]) => {
      const [x1, x2] = [a === "pit end" ? pit! + pitLength : at(a), at(b)];
      const told = sketch.distances[key];
      if (x1 === undefined || x2 === undefined || told === undefined) return [];
      const y = foot - 12 + row * 18;
      return [
        html`<path d="M${px(X(x1))} ${y}H${px(X(x2))}m0 -3v6M${px(X(x1))} ${y - 3}v6" stroke="${ink.soft}" fill="none" />
          <text x="${px(clampX((X(x1) + X(x2)) / 2, width, 24))}" y="${y - 4}" text-anchor="middle" font-size="10.5" fill="${ink.soft}"
            >${lengthText(told, units)}</text
          >`,
      ];
    });
    return picture("The yard from above", width, Math.ceil(foot + 18), [
      ...(room === null ? [] : [roomOutline(X(0), middle - (room.width * scale) / 2, room, scale, units)]),
      ...(house === undefined
        ? []
        : [
            html`<path d="M${px(X(house))} 12V${px(foot)}" stroke="${ink.text}" stroke-width="3" /><text
                x="${px(X(house) + 5)}"
                y="20"
                font-size="11"
                fill="${ink.text}"
                >house</text
              >`,
          ]),
      ...(box === undefined
        ? []
        : [
            html`<circle cx="${px(X(box))}" cy="${middle}" r="5" fill="#fff" stroke="${lines.box.color}" stroke-width="1.8" /><path
                d="M${px(X(box) + 5)} ${middle}H${px(X(pit!))}"
                stroke="${lines.box.color}"
                stroke-width="2"
              />`,
          ]),
      html`<rect
          x="${px(X(pit!))}"
          y="${px(middle - wide / 2)}"
          width="${size(pitLength * scale)}"
          height="${size(wide)}"
          fill="#d8dfe3"
          stroke="${lines.pit.color}"
          stroke-width="1.6"
        /><text
          x="${px(X(pit! + pitLength / 2))}"
          y="${px(middle - wide / 2 - 5)}"
          text-anchor="middle"
          font-size="11"
          fill="${lines.pit.color}"
          ${trusted(HALO)}
          >pit</text
        >`,
      ...(lid === undefined || sketch.distances.pitToLid === undefined
        ? []
        : [
            html`<path
                d="M${px(X(pit! + pitLength))} ${middle}H${px(X(lid))}"
                stroke="${lines.trench.color}"
                stroke-width="4"
                stroke-dasharray="6 3"
              /><circle cx="${px(X(lid))}" cy="${middle}" r="5" fill="${lines.emitter.color}" /><text
                x="${px(X(lid))}"
                y="${middle - 10}"
                text-anchor="middle"
                font-size="11"
                fill="${lines.emitter.color}"
                >lid</text
              >`,
          ]),
      ...spans,
    ]);
  }
  const points = [...places];
  const xs = points.map(([, [x]]) => x);
  const ys = points.map(([, [, y]]) => y);
  const around = places.get("pit") ?? null;
  const half = around === null || room === null ? { x: 0, y: 0 } : { x: room.length / 2, y: room.width / 2 };
  const [x0, x1, y1] = [
    Math.min(leastOf([...xs]), (around?.[0] ?? 0) - half.x) - 1.5, Math.max(greatestOf([...xs]), (around?.[0] ?? 0) + half.x) + 1.5,
    Math.max(greatestOf([...ys]), (around?.[1] ?? 0) + half.y) + 1.5,
  ];
  const scale = Math.min((width - 12) / (x1 - x0), 300 / (y1 + 2));
  const X = (x: number): number => 6 + (x - x0) * scale;
  const Y = (y: number): number => 24 + y * scale;
  const [pit, lid, box] = ["pit", "lid", "box"].map((name) => places.get(name));
  return picture("The yard from above, by the tape", width, Math.ceil(Y(y1) + 8), [
    ...(room === null || pit === undefined ? []
      : [roomOutline(X(pit[0] - room.length / 2), Y(pit[1] - room.width / 2), room, scale, units)]),
    html`<rect x="${px(X(0))}" y="2" width="${size(X(places.get("B")![0]) - X(0))}" height="22" fill="#e8ebee" stroke="${ink.text}" /><text
        x="${px(X(0) + 4)}"
        y="17"
        font-size="11"
        fill="${ink.text}"
        >A, house, B</text
      >`,
    ...(box === undefined || pit === undefined
      ? []
      : [
          html`<path
            d="M${px(X(box[0]))} ${px(Y(box[1]))}L${px(X(pit[0]))} ${px(Y(pit[1]))}"
            stroke="${lines.box.color}"
            stroke-width="2"
          />`,
        ]),
    ...(pit === undefined || lid === undefined
      ? []
      : [
          html`<path
            d="M${px(X(pit[0]))} ${px(Y(pit[1]))}L${px(X(lid[0]))} ${px(Y(lid[1]))}"
            stroke="${lines.trench.color}"
            stroke-width="4"
            stroke-dasharray="6 3"
          />`,
        ]),
    ...(pit === undefined
      ? []
      : [
          html`<rect
            x="${px(X(pit[0] - pitLength / 2))}"
            y="${px(Y(pit[1] - pitWidth / 2))}"
            width="${size(pitLength * scale)}"
            height="${size(pitWidth * scale)}"
            fill="#d8dfe3"
            stroke="${lines.pit.color}"
            stroke-width="1.6"
          />`,
        ]),
    ...points
      .filter(([name]) => name !== "A" && name !== "B")
      .map(
        ([name, [x, y]]) =>
          html`<circle
              cx="${px(X(x))}"
              cy="${px(Y(y))}"
              r="4"
              fill="${name === "lid" ? lines.emitter.color : name === "box" ? lines.box.color : lines.pit.color}"
            /><text x="${px(clampX(X(x), width, 30))}" y="${px(Y(y) - 8)}" text-anchor="middle" font-size="11" fill="${ink.text}" ${trusted(HALO)}
              >${name}</text
            >`,
      ),
  ]);
}

/** Of the room in a row of points, at most [px]. */
const ROOM_HIGH = 130;

/** Letters over lines stand on white. */
const HALO = 'paint-order="stroke" stroke="#fff" stroke-width="4" stroke-linejoin="round"';

/** The free ground for the pit: a broken line, its sides written over its corner. */
function roomOutline(x: number, y: number, { length, width }: NonNullable<YardSketch["room"]>, scale: number, units: UnitSystem): Markup {
  return html`<rect
      x="${px(x)}"
      y="${px(y)}"
      width="${size(length * scale)}"
      height="${size(width * scale)}"
      fill="none"
      stroke="${ink.soft}"
      stroke-dasharray="4 3"
    /><text x="${px(x + length * scale)}" y="${px(y - 4)}" text-anchor="end" font-size="10.5" fill="${ink.soft}" ${trusted(HALO)}
      >room ${lengthText(length, units)} × ${lengthText(width, units)}</text
    >`;
}

/** The readings of every fill of a hole with the line through them, the last strong. */
export function holePicture({ result: { fills } }: HoleVerdict, units: UnitSystem, width: number): Markup {
  const [left, right, top, foot, height] = [34, 10, 12, 30, 170];
  const span = greatestOf([...fills.map(({ time }) => time.at(-1)! - time[0]!)]);
  const depths = fills.flatMap(({ depth, line }) => [...depth, ...line.depth]);
  const [low, high] = [leastOf([...depths]), greatestOf([...depths])];
  const air = 0.08 * (high - low) || 0.01;
  const X = (time: number): number => left + (time / span) * (width - left - right);
  const Y = (depth: number): number => height - foot - ((depth - low + air) / (high - low + 2 * air)) * (height - foot - top);
  const size = units === "us" ? 0.0254 : 0.01;
  const tick = (depth: number): Markup =>
    html`<text x="${left - 5}" y="${px(Y(depth) + 4)}" text-anchor="end" font-size="10.5" fill="${ink.soft}"
      >${Number((depth / size).toFixed(1))}</text
    >`;
  return picture("Water in the hole against time", width, height, [
    tick(low),
    tick(high),
    html`<text x="${left}" y="${height - 4}" font-size="10.5" fill="${ink.soft}"
      >${units === "us" ? "inches" : "cm"} of water in the hole, over ${Math.round(span / 60)} minutes</text
    >`,
    html`<path d="M${left} ${top}V${height - foot}H${width - right}" fill="none" stroke="${ink.rule}" />`,
    ...fills.map(({ time, depth, line }, i) => {
      const { color } = i === fills.length - 1 ? lines.pit : lines.still;
      const path = Array.from(line.time, (at, k) => `${k === 0 ? "M" : "L"}${px(X(at - line.time[0]!))} ${px(Y(line.depth[k]!))}`).join(
        "",
      );
      return html`<path
          d="${path}"
          fill="none"
          stroke="${color}"
          stroke-width="${i === fills.length - 1 ? 2.4 : 1.2}"
        />${Array.from(time, (at, k) => html`<rect x="${px(X(at - time[0]!) - 3)}" y="${px(Y(depth[k]!) - 3)}" width="6" height="6" fill="#fff" stroke="${color}" />`)}`;
    }),
  ]);
}

function pitLengthOf({ works }: YardSketch): number {
  return works?.pitLength ?? 3;
}

/** Points in the water's way with their place along it [m]; what was not measured has a stand-in, which the answers name. */
function pointsAlong(sketch: YardSketch): { readonly name: string; readonly x: number }[] {
  const { distances, units, levels } = sketch;
  const [boxToPit, pitToLid] = [distances.boxToPit ?? (units === "us" ? 3.048 : 3), distances.pitToLid ?? (units === "us" ? 12.192 : 12)];
  const pitLength = pitLengthOf(sketch);
  const houseToPit = distances.houseToPit ?? boxToPit + 0.6;
  // a box further off than the wall stands along it
  const box = Math.min(boxToPit, Math.max(houseToPit - 0.5, 0.3));
  const lid = pitLength + pitToLid;
  const gap = Math.min(1, pitToLid / 2);
  return [
    { name: "house", x: -houseToPit },
    { name: "box", x: -box },
    { name: "pit", x: 0 },
    ...(levels.has("trench") ? [{ name: "trench", x: pitLength + gap }] : []),
    ...(levels.has("lid") || distances.pitToLid !== undefined ? [{ name: "lid", x: lid }] : []),
    ...(levels.has("low point") ? [{ name: "low point", x: lid + (distances.lidToLowPoint ?? 3) }] : []),
  ].sort((a, b) => a.x - b.x);
}
