import { ink, FONT } from "../figures/look.ts";
import { hourSpan } from "../figures/timeAxis.ts";
import type { Run } from "../simulate/run.ts";
import { levelText } from "../text/format.ts";
import { momentText } from "../text/hours.ts";
import { movingGif, type Pixels } from "./gif.ts";
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
    pen.fillText(`${momentText(hour * 3600)}: water in the pit at ${levelText(run.level("chamberBank", Math.min(run.until, hour * 3600)), run.site.units)}`, 10, 20);
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
