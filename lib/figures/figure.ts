/**
 * A picture as plain data: what plotly's `newPlot(element, data, layout, config)` takes, and nothing that has to be
 * plotly's. Only what the library's own figures use is typed here; plotly knows more.
 */
export interface Figure {
  readonly data: Trace[];
  readonly layout: Layout;
  readonly config: Config;
  /** what the picture says, in one sentence: its title, as plain text */
  readonly answer: string;
  /** the picture in words, for anyone who cannot see it */
  readonly description: string;
}

/** The names of a picture's upright axes, from the first panel on. */
export type YAxis = "y" | `y${2 | 3 | 4 | 5 | 6 | 7 | 8 | 9 | 10 | 11 | 12 | 13 | 14 | 15 | 16 | 17 | 18 | 19 | 20 | 21 | 22 | 23 | 24 | 25}`;

/** A line, a set of bars, or points. */
export type Trace = LineTrace | BarTrace | PointTrace;

interface Drawn {
  readonly name: string;
  readonly x: number[];
  /** null is a gap */
  readonly y: (number | null)[];
  readonly hovertemplate?: string;
  readonly hoverinfo?: "skip";
  readonly xaxis: "x";
  readonly yaxis: YAxis;
  readonly showlegend: false;
}

export interface LineTrace extends Drawn {
  readonly type: "scatter";
  readonly mode: "lines";
  readonly line: Line;
  readonly fill?: "tozeroy" | "toself";
  readonly fillcolor?: string;
  readonly fillpattern?: FillPattern;
  readonly connectgaps?: boolean;
}

export interface PointTrace extends Drawn {
  readonly type: "scatter";
  readonly mode: "markers";
  readonly customdata?: string[];
  readonly marker: {
    readonly color: string; readonly size: number; readonly symbol: "circle" | "square" | "diamond"; readonly line: Pick<Line, "color" | "width">;
  };
}

export interface FillPattern {
  readonly shape: "." | "-" | "/";
  readonly size: number;
  readonly solidity: number;
  readonly fgcolor: string;
  readonly bgcolor: string;
}

export interface BarTrace extends Drawn {
  readonly type: "bar";
  readonly orientation?: "h";
  /** where each bar begins, along its length */
  readonly base?: number[];
  /** of each bar, across its length */
  readonly width: number[];
  readonly marker: { readonly color: string; readonly line: { readonly color: string; readonly width: number } };
  readonly customdata?: string[];
}

export interface Line {
  readonly color: string;
  readonly width: number;
  readonly dash?: "solid" | "dot" | "dash" | "longdash" | "dashdot";
  readonly shape?: "linear" | "hv";
}

/** An alias, since plotly's own type has index signatures, which an interface is never given. */
export type Layout = {
  readonly title?: Title;
  readonly height: number;
  readonly margin: { readonly l: number; readonly r: number; readonly t: number; readonly b: number };
  readonly font: Font;
  readonly paper_bgcolor: string;
  readonly plot_bgcolor: string;
  readonly hovermode: "x unified" | "closest" | false;
  readonly hoversubplots?: "axis";
  readonly hoverlabel?: { readonly bgcolor: string; readonly bordercolor: string; readonly font: Font };
  readonly dragmode: "zoom" | false;
  readonly showlegend: false;
  readonly bargap?: number;
  readonly barmode?: "overlay";
  readonly xaxis: Axis;
  readonly yaxis: Axis;
  readonly annotations: Annotation[];
  readonly shapes: Shape[];
  readonly [axis: `yaxis${number}`]: Axis;
};

export interface Title {
  readonly text: string;
  readonly x: number;
  readonly xref: "container";
  readonly xanchor: "left";
  readonly y: number;
  readonly yref: "container";
  readonly yanchor: "top";
  readonly pad: { readonly l: number; readonly t: number };
  readonly font: Font;
}

export interface Font {
  readonly family?: string;
  readonly size: number;
  readonly color: string;
}

export interface Axis {
  readonly domain?: [number, number];
  readonly range?: [number, number];
  readonly anchor?: YAxis;
  /** one scale for both axes, as in a plan */
  readonly scaleanchor?: "x";
  readonly scaleratio?: number;
  readonly fixedrange?: boolean;
  readonly dtick?: number;
  readonly tick0?: number;
  readonly nticks?: number;
  readonly tickvals?: number[];
  readonly ticktext?: string[];
  readonly tickfont?: Font;
  readonly tickformat?: string;
  readonly ticks?: "" | "outside";
  readonly ticklen?: number;
  readonly ticklabelstandoff?: number;
  readonly tickcolor?: string;
  readonly showticklabels?: boolean;
  readonly showgrid?: boolean;
  readonly gridcolor?: string;
  readonly zeroline?: boolean;
  readonly showline?: boolean;
  readonly linecolor?: string;
  readonly hoverformat?: string;
  readonly unifiedhovertitle?: { readonly text: string };
  readonly title?: { readonly text: string; readonly font: Font; readonly standoff: number };
}

/** A text; `xref`, `yref` "paper" count from 0 to 1 over the plotting area, else in an axis' own numbers. */
export interface Annotation {
  /** what the text is, for a page that puts a control in its place; plotly draws nothing of it */
  readonly name?: string;
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly xref: "paper" | "x";
  readonly yref: "paper" | YAxis;
  readonly xanchor: "left" | "center" | "right";
  readonly yanchor: "top" | "middle" | "bottom";
  readonly xshift?: number;
  readonly yshift?: number;
  readonly showarrow: boolean;
  /** an arrow's tail, from its head at x, y [px], right and down positive */
  readonly ax?: number;
  readonly ay?: number;
  readonly arrowcolor?: string;
  readonly arrowwidth?: number;
  readonly arrowhead?: number;
  /** the arrow's head at its tail: it points from x, y to the text */
  readonly arrowside?: "start";
  readonly startarrowhead?: number;
  readonly align?: "left" | "right";
  readonly font: Font;
  readonly bgcolor?: string;
  readonly borderpad?: number;
}

/** A straight line or a box that is not data; pixel sizes count from the anchor. */
export interface Shape {
  readonly type: "line" | "rect" | "path";
  readonly path?: string;
  readonly x0?: number;
  readonly x1?: number;
  readonly y0?: number;
  readonly y1?: number;
  readonly xref: "paper" | "x";
  readonly yref: "paper" | YAxis;
  readonly xsizemode?: "pixel";
  readonly ysizemode?: "pixel";
  readonly xanchor?: number;
  readonly yanchor?: number;
  readonly line: Line;
  readonly fillcolor?: string;
  readonly layer: "below" | "above";
}

export interface Config {
  readonly responsive: boolean;
  readonly displayModeBar: false;
  readonly doubleClick: "reset";
  readonly scrollZoom: false;
  readonly typesetMath: false;
}
