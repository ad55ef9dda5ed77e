import type { Handle } from "./handle.ts";
import { svgNode } from "./svgNode.ts";

/** The sign that says what can be pulled, and which way: a ring with two arrows. */
export function knob(along: Handle["along"]): SVGElement {
  return svgNode("svg", { class: "knob", width: 22, height: 22, viewBox: "-11 -11 22 22", "aria-hidden": "true" }, [
    svgNode("circle", { r: 9.5, fill: "#fff", stroke: "currentColor", "stroke-width": 1.6 }),
    svgNode("path", {
      d: "M-3 -2.2L0 -6L3 -2.2M-3 2.2L0 6L3 2.2", transform: along === "up" ? null : "rotate(90)", fill: "none", stroke: "currentColor",
      "stroke-width": 1.8, "stroke-linecap": "round", "stroke-linejoin": "round",
    }),
  ]);
}
