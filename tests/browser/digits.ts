import { newKernel } from "../../lib/simulate/kernel.ts";
import { kernelInScript } from "../../lib/simulate/kernelScript.ts";
import { begin, driving, marched, marchOn, type Outset } from "../../lib/simulate/march.ts";
import type { Body } from "../../lib/simulate/network.ts";

// What runs in Node and, bundled, in a page.

export { stepperWords } from "../../lib/simulate/kernel.ts";

/** Every number of every step of a run, then its sums, peaks and firings; the stepper found here, or its script. */
export function stepsOf(outset: Outset, kind: "wasm" | "script"): number[] {
  const kernel = kind === "wasm" ? newKernel() : newKernel(kernelInScript!);
  const line = driving(outset);
  const digits: number[] = [];
  begin(kernel, outset, line);
  marchOn(kernel, line, 0, line.corners.length - 1, ({ numbers }) => { for (const number of numbers) digits.push(number); });
  const { sums, firings, tops, end } = marched(kernel);
  for (const { volume, time } of tops) digits.push(volume, time);
  for (const { start, end: until, volume, peakFlow } of firings) digits.push(start, until ?? -1, volume, peakFlow);
  return [...digits, ...sums.forth, ...sums.back, ...sums.entered, ...end];
}

type Numbers = readonly number[];

/** An outset as it came into the page: arrays where it has typed ones, and of a body's geometry the volumes that are asked for. */
interface Data {
  readonly start: Numbers;
  readonly keeps: Numbers;
  readonly blocked: Numbers;
  readonly mound: Readonly<Record<"timeConstants" | "centre" | "offset", Numbers>> | null;
  readonly inflows: Readonly<Record<string, { readonly time: Numbers; readonly flow: Numbers }>>;
  readonly network: {
    readonly table: Numbers;
    readonly bodies: readonly {
      readonly cornerLevels: Numbers; readonly corners: Numbers; readonly storage: { readonly pieces: Numbers };
      readonly volumes: readonly (readonly [number, number])[]; readonly startDry: number;
    }[];
  };
}

export function stepsOfData(data: Data, kind: "wasm" | "script"): number[] {
  const array = (values: Numbers): Float64Array => Float64Array.from(values);
  const { mound, network } = data;
  const bodies = network.bodies.map(({ volumes, startDry, ...body }) => ({
    ...body, cornerLevels: array(body.cornerLevels), corners: array(body.corners),
    storage: { ...body.storage, pieces: array(body.storage.pieces) },
    volume: (level: number) => volumes.find(([at]) => at === level)![1],
    start: () => startDry,
  }) as unknown as Body);
  const inflows = Object.fromEntries(Object.entries(data.inflows).map(([body, { time, flow }]) => (
    [body, { time: array(time), flow: array(flow) }])));
  return stepsOf({
    ...data, inflows, start: array(data.start), keeps: array(data.keeps), blocked: new Set(data.blocked),
    mound: mound && { ...mound, timeConstants: array(mound.timeConstants), centre: array(mound.centre), offset: array(mound.offset) },
    network: { ...network, bodies, table: array(network.table) },
  } as unknown as Outset, kind);
}
