import { FONT, ink } from "../figures/look.ts";
import { hourSpan } from "../figures/timeAxis.ts";
import type { Run } from "../simulate/run.ts";
import { waterText } from "../text/format.ts";
import { momentText } from "../text/hours.ts";
import { timeWarp } from "./timeWarp.ts";

/** How many pictures a loop has, how wide it is [px], how long each stands and the last one [s]. */
const [PICTURES, WIDTH, STANDS, RESTS] = [48, 480, 0.1, 1.2];
/** room for the words over the section [px] */
const WORDS = 30;

/**
 * A whole storm on the section as a small moving picture that begins again at its end, slow where water moves.
 *
 * @param drawing  the section of an hour as SVG, for a width [px]
 */
export async function stormLoop(run: Run, drawing: (hour: number, width: number) => string): Promise<Blob> {
  const warp = timeWarp(run, hourSpan(run, WIDTH).end);
  const canvas = document.createElement("canvas");
  const pictures: Pixels[] = [];
  for (let i = 0; i < PICTURES; i++) {
    const hour = warp.hourAt(i / (PICTURES - 1));
    const image = await loaded(drawing(hour, WIDTH));
    if (i === 0) [canvas.width, canvas.height] = [WIDTH, image.height + WORDS];
    const pen = canvas.getContext("2d", { willReadFrequently: true })!;
    pen.fillStyle = "#fff";
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.drawImage(image, 0, WORDS);
    pen.fillStyle = ink.text;
    pen.font = `bold 15px ${FONT}`;
    pen.fillText(`${momentText(hour * 3600)}: water in the pit at ${waterText(run.level("chamberBank", Math.min(run.until, hour * 3600)), run.site.units)}`, 10, 20);
    pictures.push(pen.getImageData(0, 0, canvas.width, canvas.height).data);
  }
  const gif = movingGif(pictures, {
    width: canvas.width, height: canvas.height, delays: pictures.map((_, i) => (i === PICTURES - 1 ? RESTS : STANDS)),
  });
  return new Blob([new Uint8Array(gif)], { type: "image/gif" });
}

async function loaded(svg: string): Promise<HTMLImageElement> {
  const image = new Image();
  image.src = URL.createObjectURL(new Blob([svg], { type: "image/svg+xml" }));
  await image.decode();
  URL.revokeObjectURL(image.src);
  return image;
}

/** A picture of a moving picture: red, green, blue and opacity of every pixel, row by row, 0 to 255. */
type Pixels = Uint8ClampedArray;

/**
 * A moving picture that begins again at its end, as a GIF, which every message takes. Up to 255 colours, the most frequent ones; of each
 * picture only what differs from the one before is written.
 *
 * @param pictures  one or more, of one size
 * @param delays    how long each stands [s], in hundredths
 * @throws RangeError  for sizes that do not agree
 * @source  GIF89a, CompuServe 1990, with the looping extension of 1995; from memory, checked against Chromium's decoder
 */
export function movingGif(pictures: readonly Pixels[], { width, height, delays }: {
  readonly width: number; readonly height: number; readonly delays: readonly number[];
}): Uint8Array {
  for (const { length } of pictures) {
    if (length !== 4 * width * height) throw new RangeError(`pictures: expected ${4 * width * height} numbers each, got ${length}`);
  }
  if (delays.length !== pictures.length) throw new RangeError(`delays: expected ${pictures.length}, one a picture, got ${delays.length}`);
  const { table, indexOf } = palette(pictures);
  const parts: (readonly number[])[] = [
    ascii("GIF89a"), short(width), short(height), [0xf7, 0, 0], table, [0x21, 0xff, 11], ascii("NETSCAPE2.0"), [3, 1, 0, 0, 0],
  ];
  let before: Uint8Array | null = null;
  pictures.forEach((picture, i) => {
    const now = Uint8Array.from({ length: width * height }, (_, at) => indexOf(picture, 4 * at));
    const last = before;
    const drawn = last === null ? now : now.map((index, at) => (index === last[at] ? CLEAR : index));
    // what was drawn stays under what comes; one index is clear
    parts.push([0x21, 0xf9, 4, 0x05], short(Math.round(100 * delays[i]!)), [CLEAR, 0]);
    parts.push([0x2c], short(0), short(0), short(width), short(height), [0, 8]);
    for (const block of blocks(packed(drawn))) parts.push([block.length], block);
    parts.push([0]);
    before = now;
  });
  parts.push([0x3b]);
  return Uint8Array.from(parts.flat());
}

/** The index that is drawn as nothing. */
const CLEAR = 255;

interface Palette {
  /** red, green, blue of each index */
  readonly table: readonly number[];
  readonly indexOf: (pixels: Pixels, at: number) => number;
}

/** The most frequent colours, to 5 bits each, and the nearest of them to any pixel. */
function palette(pictures: readonly Pixels[]): Palette {
  const key = (pixels: Pixels, at: number): number => ((pixels[at]! >> 3) << 10) | ((pixels[at + 1]! >> 3) << 5) | (pixels[at + 2]! >> 3);
  const seen = new Map<number, { count: number; readonly sum: [number, number, number] }>();
  for (const pixels of pictures) {
    for (let at = 0; at < pixels.length; at += 4) {
      const each = key(pixels, at);
      const known = seen.get(each) ?? { count: 0, sum: [0, 0, 0] };
      known.count += 1;
      for (const i of [0, 1, 2] as const) known.sum[i] += pixels[at + i]!;
      seen.set(each, known);
    }
  }
  const colors = [...seen.entries()].sort(([, a], [, b]) => b.count - a.count)
    .map(([each, { count, sum }]) => ({ each, rgb: sum.map((total) => Math.round(total / count)) }));
  const kept = colors.slice(0, CLEAR);
  const index = new Map(kept.map(({ each }, i) => [each, i]));
  for (const { each, rgb } of colors.slice(CLEAR)) {
    const far = (i: number): number => kept[i]!.rgb.reduce((sum, part, channel) => sum + (part - rgb[channel]!) ** 2, 0);
    let nearest = 0;
    for (let i = 1; i < kept.length; i++) if (far(i) < far(nearest)) nearest = i;
    index.set(each, nearest);
  }
  const table = Array.from({ length: 256 }, (_, i) => kept[i]?.rgb ?? [0, 0, 0]).flat();
  return { table, indexOf: (pixels, at) => index.get(key(pixels, at))! };
}

/** Indices of 8 bits packed by the method of Lempel, Ziv and Welch, codes of 9 to 12 bits from the lowest bit on. */
function packed(indices: Uint8Array): number[] {
  const [clear, end] = [256, 257];
  const out: number[] = [];
  let [held, bits] = [0, 0];
  let size = 9;
  const put = (code: number): void => {
    held |= code << bits;
    bits += size;
    while (bits >= 8) {
      out.push(held & 255);
      held >>>= 8;
      bits -= 8;
    }
  };
  let next = end + 1;
  let codes = new Map<number, number>();
  put(clear);
  let prefix = indices[0]!;
  for (let i = 1; i < indices.length; i++) {
    const index = indices[i]!;
    const known = codes.get((prefix << 8) | index);
    if (known !== undefined) {
      prefix = known;
      continue;
    }
    put(prefix);
    if (next < 4096) {
      codes.set((prefix << 8) | index, next);
      // the reader learns a code one later than it is made
      if (next === 1 << size && size < 12) size += 1;
      next += 1;
    } else {
      put(clear);
      codes = new Map();
      [size, next] = [9, end + 1];
    }
    prefix = index;
  }
  put(prefix);
  put(end);
  if (bits > 0) out.push(held & 255);
  return out;
}

function* blocks(bytes: readonly number[]): Generator<readonly number[]> {
  for (let at = 0; at < bytes.length; at += 255) yield bytes.slice(at, at + 255);
}

function ascii(text: string): number[] {
  return [...text].map((letter) => letter.charCodeAt(0));
}

function short(value: number): [number, number] {
  return [value & 255, value >> 8];
}
