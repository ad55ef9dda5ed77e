import type { Line } from "../figure.ts";
import type { Attributes } from "./svgTag.ts";

/** The strokes of a line in the way of SVG; lengths of dashes are plotly's. */
export function strokeOf({ color, width, dash }: Line): Attributes {
  const least = Math.max(3, width);
  const dashes = {
    dot: [least, least], dash: [3 * least, 3 * least], longdash: [5 * least, 5 * least], dashdot: [3 * least, least, least, least],
    solid: null,
  };
  return { stroke: color, "stroke-width": width, "stroke-dasharray": dashes[dash ?? "solid"]?.map((each) => Math.round(each * 10) / 10).join(" ") ?? null };
}
