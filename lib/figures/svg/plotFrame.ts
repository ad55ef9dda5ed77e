import type { Axis, Layout, YAxis } from "../figure.ts";

/** An axis of a drawn picture: from its own numbers to pixels of the picture and back. */
export interface AxisScale {
  /** pixel of the axis' first and last number */
  readonly from: number;
  readonly to: number;
  readonly pixel: (value: number) => number;
  readonly value: (pixel: number) => number;
}

/** Where the parts of a picture lie [px from its upper left corner]. */
export interface PlotFrame {
  readonly width: number;
  readonly height: number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly x: AxisScale;
  readonly y: (axis: YAxis) => AxisScale;
}

/**
 * The pixels of a picture's plotting area and axes, as plotly lays them out.
 *
 * @param width  the picture is drawn for [px]
 */
export function plotFrame(layout: Layout, width: number): PlotFrame {
  const { margin, height } = layout;
  const [left, right] = [margin.l, width - margin.r];
  const [top, bottom] = [margin.t, height - margin.b];
  const known = new Map<YAxis, AxisScale>();
  return {
    width, height, left, right, top, bottom,
    x: axisScale(layout.xaxis, left, right),
    y: (axis) => {
      const scale = known.get(axis) ?? uprightScale(yAxisOf(layout, axis), top, bottom);
      known.set(axis, scale);
      return scale;
    },
  };
}

/** An upright axis of a layout by its name. */
export function yAxisOf(layout: Layout, axis: YAxis): Axis {
  return axis === "y" ? layout.yaxis : layout[`yaxis${Number(axis.slice(1))}`]!;
}

function uprightScale(axis: Axis, top: number, bottom: number): AxisScale {
  const [low, high] = axis.domain ?? [0, 1];
  return axisScale(axis, bottom - low * (bottom - top), bottom - high * (bottom - top));
}

function axisScale({ range }: Axis, from: number, to: number): AxisScale {
  const [first, last] = range ?? [0, 1];
  const perUnit = (to - from) / (last - first);
  return { from, to, pixel: (value) => from + (value - first) * perUnit, value: (pixel) => first + (pixel - from) / perUnit };
}
