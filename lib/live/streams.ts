import { NO_FLOW } from "../figures/flowRows.ts";
import { sectionScale } from "../figures/sectionFigure.ts";
import type { PlotFrame } from "../figures/svg/plotFrame.ts";
import { svgTag, tenth, type SvgTag } from "../figures/svg/svgTag.ts";
import { flowOfKind, type Run } from "../simulate/run.ts";
import { displayUnits } from "../text/format.ts";

/** Draws what runs at a time of a run over the section. */
export type Streams = (run: Run, time: number, frame: PlotFrame) => SvgTag[];

/**
 * Water that moves in the pipes, as strokes that wander along them with what has run through: the more runs, the faster, and
 * backwards where time goes back; and the water that falls from the lifted lid.
 */
export function streams(): Streams {
  let last: { readonly run: Run; readonly time: number } | null = null;
  const gone = new Map<string, number>();
  return (run, time, frame) => {
    const elapsed = last === null || last.run !== run ? 0 : time - last.time;
    last = { run, time };
    const { site } = run;
    const { plan } = sectionScale(run, frame.width);
    const unit = displayUnits(site.units).level.size;
    const x = (along: number): number => tenth(frame.x.pixel(along / unit));
    const y = (level: number): number => tenth(frame.y("y").pixel(level / unit));
    const stream = (name: string, flow: number, path: string, wide: number, color: string): SvgTag[] => {
      if (Math.abs(flow) <= NO_FLOW) return [];
      // no more than a dash a frame, or the eye sees it run backwards
      const step = Math.sign(flow) * Math.sign(elapsed) * Math.min(7, 0.6 + 90 * Math.sqrt(Math.abs(flow)));
      gone.set(name, (gone.get(name) ?? 0) + (elapsed === 0 ? 0 : step));
      return [svgTag("path", {
        d: path, fill: "none", stroke: color, "stroke-width": wide, "stroke-dasharray": "7 9", "stroke-dashoffset": tenth(-gone.get(name)!), "stroke-linecap": "round",
      })];
    };
    const { overflowTrench: trench, emitter } = site;
    const drawn: SvgTag[][] = [];
    site.settlingBoxes.forEach(({ name, outlet }, i) => {
      const flow = run.flow(site.settlingBoxes.length > 1 ? `boxOutlet ${name}` : "boxOutlet", time);
      const low = outlet.diameter * 0.3;
      drawn.push(stream(name, flow, `M${x(plan.boxes[i]!.to)} ${y(outlet.invert + low)}L${x(plan.pit.from)} ${y(outlet.outletInvert + low)}`, 2, "#fff"));
    });
    if (trench !== null && plan.trench !== null) {
      const { inlet } = trench;
      const low = inlet.diameter * 0.3;
      drawn.push(stream(
        "inlet", flowOfKind(run, "trenchInlet", time), `M${x(plan.pit.to)} ${y(inlet.invert + low)}L${x(plan.trench.from)} ${y(inlet.outletInvert + low)}`, 2, "#fff",
      ));
    }
    if (emitter !== null && plan.emitter !== null) {
      const flow = run.flow("emitter", time);
      const [from, top] = [x(plan.emitter.to), y(emitter.crest) - 3];
      const far = 6 + Math.min(40, 620 * Math.sqrt(Math.max(0, flow)) * 0.6);
      drawn.push(stream("emitter", flow, `M${from} ${top}q${tenth(far * 0.5)} ${tenth(-far * 0.45)} ${tenth(far)} ${tenth(far * 0.35)}`, 2.6, "#145c91"));
    }
    return drawn.flat();
  };
}
