import type { StorageTable } from "../works/storageTable.ts";
import { compiledBodies, PIECE, tableNumbers } from "./compiledWorks.ts";
import { kernelBytes } from "./kernelBytes.ts";
import { kernelInScript } from "./kernelScript.ts";
import type { Mound } from "./mound.ts";
import { LAW, type Law, type Network } from "./network.ts";
import { once } from "./once.ts";
import type { Firing } from "./run.ts";

/** Works as the kernel runs them. */
export interface Works {
  readonly network: Network;
  /** passages that are taken as shut */
  readonly blocked: ReadonlySet<number>;
  /** its modes are states after the volumes */
  readonly mound: Mound | null;
}

/**
 * Straight lines that drive the works, for consecutive segments of time: each [from, until, whether the lid is held], then for every
 * body [inflow, its slope, groundwater level, its slope] at its start.
 */
export interface Segments {
  readonly numbers: Float64Array;
  readonly count: number;
}

/** How many numbers a segment of works has, by its number of bodies. */
export function segmentSize(bodies: number): number {
  return 3 + 4 * bodies;
}

/** Rows of steps: each the time it ends, then for every state [end, e1, e2] of the dense output. A view, gone with the next call. */
export interface StepRows {
  readonly numbers: Float64Array;
  readonly count: number;
}

/**
 * The stepper: an instance of `lib/kernel`, compiled to WebAssembly, with a memory of its own. What is done with one has no effect on
 * another. States are the volumes of the bodies [m3], then the modes of the mound [m].
 */
export interface Kernel {
  /** Puts works in, in place of those before; what they share with those is not written again. */
  load(works: Works): void;
  /**
   * Begins a run at a time [s]; its sums and peaks begin at 0.
   *
   * @param options.lidOpen     whether the lid stands open, which is a firing from there on
   * @param options.keeps       volumes that no body falls below by itself: a step in which one does is refused [m3]
   * @param options.mostTrials  trial steps after which the run is given up; no bound where missing
   */
  start(options: {
    time: number; states: ArrayLike<number>; tolerance: number; lidOpen?: boolean; keeps?: ArrayLike<number>; mostTrials?: number;
  }): void;
  /**
   * Steps through segments.
   *
   * @param onSteps  called with each block of steps, if given; it may run other works on other instances
   * @throws StepFailure  when it cannot go on; sums and states are those of the last good step
   */
  march(segments: Segments, onSteps?: (rows: StepRows) => void): void;
  /** Looks for peaks from now on. */
  resetPeaks(): void;
  readonly time: number;
  readonly work: { readonly steps: number; readonly rejections: number; readonly evaluations: number };
  readonly lidOpen: boolean;
  states(): Float64Array;
  /** V' of a body where the last step ended [m3/s] */
  rate(body: number): number;
  /** the largest volume of every body since the start or the last `resetPeaks` */
  tops(): Top[];
  /** what passages brought forward and back, by passage, and what came into each body from outside, in all [m3] */
  sums(): Sums;
  /** firings since the start; the last one's end is null while it goes on */
  firings(): Firing[];
  /** Flows through all passages, and into all bodies from outside, for given states at a time within a segment [m3/s]. */
  flowsAt(
    segment: Segments, time: number, states: ArrayLike<number>, lidOpen: boolean,
  ): { readonly passages: Float64Array; readonly inflows: Float64Array };
  /** Flow of one passage of the works for the levels at its ends, or that of the groundwater as the second [m3/s]. */
  flowOf(passage: number, Ha: number, Hb: number): number;
  /** A law by itself: flow and its slopes with both levels; the lid is open. Whatever was loaded is gone. */
  law(law: Law, row: ArrayLike<number>): (Ha: number, Hb: number) => [flow: number, byHa: number, byHb: number];
  /** A storage table by itself: level [m] and dH/dV [1/m2]. Whatever was loaded is gone. */
  table(storage: StorageTable): (volume: number) => { readonly level: number; readonly slope: number };
}

/** The largest volume of a body, inside steps too [m3], and when [s]. */
export interface Top {
  readonly volume: number;
  readonly time: number;
}

export interface Sums {
  readonly forth: Float64Array;
  readonly back: Float64Array;
  readonly entered: Float64Array;
}

/** Why a run cannot go on. */
export class StepFailure extends Error {
  readonly reason: string;
  readonly time: number;
  readonly stepSize: number;
  readonly state: readonly number[];

  constructor(reason: string, time: number, stepSize: number, state: readonly number[]) {
    super(`the integration stopped at ${time} s with a step of ${stepSize} s: ${reason}`);
    this.name = "StepFailure";
    this.reason = reason;
    this.time = time;
    this.stepSize = stepSize;
    this.state = state;
  }
}

/** Lends an idle instance, and takes it back; not after a fault of its own, of which nobody knows what it left in its memory. */
export function withKernel<T>(use: (kernel: Kernel) => T): T {
  const kernel = IDLE.pop() ?? newKernel();
  let sound = true;
  try {
    return use(kernel);
  } catch (error) {
    sound = !(error instanceof Error && error.name === "RuntimeError");
    throw error;
  } finally {
    if (sound) IDLE.push(kernel);
  }
}

const IDLE: Kernel[] = [];

interface Counter {
  readonly value: unknown;
}

/** What lib/kernel/kernel.ts exports. */
interface Exports {
  readonly memory: { readonly buffer: ArrayBuffer };
  begin(bodies: number, modes: number, passages: number): void;
  reserve(bytes: number): number;
  setBody(
    i: number, storage: number, pieces: number, corners: number, cornerCount: number, scale: number, lowest: number, film: number,
    wakes: number,
  ): void;
  setPassage(i: number, law: number, from: number, to: number, row: number): void;
  setMode(i: number, timeConstant: number, share: number, scale: number): void;
  setMound(body: number, passage: number, area: number): void;
  setEmitter(passage: number, opens: number, closes: number): void;
  join(): void;
  setValue(i: number, value: number): void;
  valueOf(i: number): number;
  setRoom(rows: number, rowCount: number, firings: number, firingCount: number): void;
  start(time: number, tolerance: number, firstStep: number, lidOpen: number, mostTrials: number): void;
  setKeeps(i: number, volume: number): void;
  rateOf(i: number): number;
  resetPeaks(): void;
  setLid(open: number): void;
  drive(segments: number, count: number): void;
  march(): number;
  look(segment: number, time: number): void;
  lookAtPassage(i: number, Ha: number, Hb: number): void;
  lookAtBody(i: number): void;
  levelOf(i: number): number;
  levelSlopeOf(i: number): number;
  isOpen(): number;
  firingVolume(): number;
  flowOf(i: number): number;
  byFromOf(i: number): number;
  byToOf(i: number): number;
  forthOf(i: number): number;
  backOf(i: number): number;
  inflowOf(i: number): number;
  enteredOf(i: number): number;
  topOf(i: number): number;
  topTimeOf(i: number): number;
  readonly time: Counter;
  readonly wish: Counter;
  readonly steps: Counter;
  readonly rejections: Counter;
  readonly evaluations: Counter;
  readonly rows: Counter;
  readonly firings: Counter;
  readonly firingStart: Counter;
  readonly firingPeak: Counter;
}

/** Segments, steps and firings that are handed over in one go. */
const SEGMENT_ROOM = 256;
const ROW_ROOM = 512;
const FIRING_ROOM = 64;
/** numbers of a firing: start, end, volume, peak flow */
const FIRING = 4;
/** step tried first [s]; the error control finds its own at once */
const FIRST_STEP = 10;
/** what an error of a mode is weighed against [m]: a metre of rise, as for the volumes */
const MOUND_SCALE = 1;
/** what `march` of the kernel returns with */
const [DONE, NO_ROOM, NO_STEP, NO_END] = [0, 1, 2, 3];
/** trial steps from one corner or event to the next after which it gives a run up */
export const MOST_TRIALS = 40_000;

/** What the stepper runs as: WebAssembly, or script made of that: slower, and the same to the last bit. */
export type StepperKind = "wasm" | "script";

/** How instances are made here, found out once: a strict policy forbids WebAssembly, and older engines a module of this size. */
const found = once((): { readonly kind: StepperKind; readonly make: () => unknown } => {
  try {
    const module = compiled();
    return { kind: "wasm", make: () => new WebAssembly.Instance(module).exports };
  } catch (refusal) {
    if (kernelInScript === null) {
      const message = "this page's stepper is WebAssembly, which the browser refuses: make the page with --no-wasm";
      throw new Error(message, { cause: refusal });
    }
    return { kind: "script", make: kernelInScript };
  }
});

const compiled = once(() => {
  // a loop: `Uint8Array.from` takes twice as long, which the first run of a process would wait for
  const letters = atob(kernelBytes);
  const bytes = new Uint8Array(letters.length);
  for (let i = 0; i < bytes.length; i++) bytes[i] = letters.charCodeAt(i);
  return new WebAssembly.Module(bytes);
});

/** What the stepper runs as here, in words. */
export function stepperWords(): string {
  return found().kind === "wasm" ? "stepper in WebAssembly" : "stepper in script, as this engine refuses WebAssembly";
}

/**
 * A new instance.
 *
 * @param make  of what `lib/kernel` exports; as what runs here, where missing
 */
export function newKernel(make: () => unknown = found().make): Kernel {
  const kernel = make() as Exports;
  let numbers = new Float64Array(kernel.memory.buffer);
  let loaded: (Works & { readonly slots: Int32Array; readonly table: number }) | null = null;
  let room = { segments: 0, rows: 0, rowSize: 0, firings: 0 };
  let firings: Firing[] = [];
  let most = Infinity;

  /** The memory as numbers: another view once it has grown. */
  function view(): Float64Array {
    if (numbers.buffer !== kernel.memory.buffer) numbers = new Float64Array(kernel.memory.buffer);
    return numbers;
  }

  function put(values: Float64Array): number {
    const at = kernel.reserve(8 * values.length);
    view().set(values, at / 8);
    return at;
  }

  function load(works: Works): void {
    const { network, blocked, mound } = works;
    if (loaded !== null && loaded.mound === mound && isSame(loaded.blocked, blocked) && isSameBut(loaded.network, network)) {
      if (loaded.network.table !== network.table) view().set(network.table, loaded.table / 8);
      if (loaded.network !== network) loaded = { ...loaded, network };
      return;
    }
    loaded = null;
    const { bodies, passages, emitter } = network;
    const open = passages.flatMap((_, p) => (blocked.has(p) ? [] : [p]));
    const slots = new Int32Array(passages.length).fill(-1);
    open.forEach((p, slot) => (slots[p] = slot));
    const modes = mound?.timeConstants.length ?? 0;
    kernel.begin(bodies.length, modes, open.length);
    const table = put(network.table);
    const { numbers: tables, bodies: compiledAs } = compiledBodies(network);
    const at = put(tables);
    compiledAs.forEach((body, b) => {
      const { pieces, cornerCount, scale, lowest, film, wakes } = body;
      kernel.setBody(b, at + 8 * body.table, pieces, at + 8 * body.corners, cornerCount, scale, lowest, film, wakes);
    });
    open.forEach((p, slot) => {
      const { law, from, to, row } = passages[p]!;
      kernel.setPassage(slot, law, from, to, table + 8 * row);
    });
    for (let k = 0; k < modes; k++) kernel.setMode(k, mound!.timeConstants[k]!, mound!.centre[k]!, MOUND_SCALE);
    if (mound !== null && slots[mound.passage]! >= 0) kernel.setMound(mound.body, slots[mound.passage]!, mound.planArea);
    const lid = emitter === null ? -1 : slots[emitter.passage]!;
    if (emitter !== null && lid >= 0) kernel.setEmitter(lid, emitter.opensAtHead, emitter.closesAtHead);
    kernel.join();
    const rowSize = 1 + 3 * (bodies.length + modes);
    room = {
      rowSize,
      segments: kernel.reserve(8 * segmentSize(bodies.length) * SEGMENT_ROOM),
      rows: kernel.reserve(8 * rowSize * ROW_ROOM),
      firings: kernel.reserve(8 * FIRING * FIRING_ROOM),
    };
    loaded = { network, blocked, mound, slots, table };
  }

  function states(): Float64Array {
    return filled(loaded!.network.bodies.length + (loaded!.mound?.timeConstants.length ?? 0), (i) => kernel.valueOf(i));
  }

  function setStates(values: ArrayLike<number>): void {
    for (let i = 0; i < values.length; i++) kernel.setValue(i, values[i]!);
  }

  function takeFirings(): void {
    const memory = view();
    for (let i = 0, at = room.firings / 8; i < (kernel.firings.value as number); i++, at += FIRING) {
      firings.push({ start: memory[at]!, end: memory[at + 1]!, volume: memory[at + 2]!, peakFlow: memory[at + 3]! });
    }
  }

  function march(segments: Segments, onSteps?: (rows: StepRows) => void): void {
    const size = segmentSize(loaded!.network.bodies.length);
    kernel.setRoom(room.rows, onSteps === undefined ? 0 : ROW_ROOM, room.firings, FIRING_ROOM);
    for (let first = 0; first < segments.count; first += SEGMENT_ROOM) {
      const count = Math.min(SEGMENT_ROOM, segments.count - first);
      view().set(segments.numbers.subarray(first * size, (first + count) * size), room.segments / 8);
      kernel.drive(room.segments, count);
      for (let code = NO_ROOM; code === NO_ROOM;) {
        code = kernel.march();
        takeFirings();
        const rows = kernel.rows.value as number;
        if (rows > 0) onSteps?.({ numbers: view().subarray(room.rows / 8, room.rows / 8 + rows * room.rowSize), count: rows });
        if (code !== DONE && code !== NO_ROOM) {
          const reason = code === NO_STEP ? "the step size vanishes"
            : code === NO_END ? `more than ${MOST_TRIALS} trial steps since the last corner or event` : `more than ${most} trial steps in all`;
          throw new StepFailure(reason, kernel.time.value as number, kernel.wish.value as number, Array.from(states()));
        }
      }
    }
  }

  return {
    load,
    start({ time, states: values, tolerance, lidOpen = false, keeps, mostTrials = Infinity }) {
      setStates(values);
      loaded!.network.bodies.forEach((_, b) => kernel.setKeeps(b, keeps?.[b] ?? -Infinity));
      firings = [];
      most = mostTrials;
      kernel.start(time, tolerance, FIRST_STEP, lidOpen ? 1 : 0, mostTrials);
    },
    march,
    resetPeaks: () => { kernel.resetPeaks(); },
    get time() { return kernel.time.value as number; },
    get work() {
      return {
        steps: kernel.steps.value as number, rejections: kernel.rejections.value as number, evaluations: kernel.evaluations.value as number,
      };
    },
    get lidOpen() { return kernel.isOpen() === 1; },
    states,
    rate: (body) => kernel.rateOf(body),
    tops: () => loaded!.network.bodies.map((_, b) => ({ volume: kernel.topOf(b), time: kernel.topTimeOf(b) })),
    sums() {
      const { slots, network: { bodies } } = loaded!;
      return {
        forth: filled(slots.length, (p) => (slots[p]! < 0 ? 0 : kernel.forthOf(slots[p]!))),
        back: filled(slots.length, (p) => (slots[p]! < 0 ? 0 : kernel.backOf(slots[p]!))),
        entered: filled(bodies.length, (b) => kernel.enteredOf(b)),
      };
    },
    firings() {
      if (kernel.isOpen() === 0) return firings;
      const [start, peakFlow] = [kernel.firingStart.value as number, kernel.firingPeak.value as number];
      return [...firings, { start, end: null, volume: kernel.firingVolume(), peakFlow }];
    },
    flowsAt({ numbers: line }, time, values, lidOpen) {
      const { slots, network: { bodies } } = loaded!;
      setStates(values);
      view().set(line, room.segments / 8);
      kernel.setLid(lidOpen ? 1 : 0);
      kernel.look(room.segments, time);
      return {
        passages: filled(slots.length, (p) => (slots[p]! < 0 ? 0 : kernel.flowOf(slots[p]!))),
        inflows: filled(bodies.length, (b) => kernel.inflowOf(b)),
      };
    },
    flowOf(passage, Ha, Hb) {
      const slot = loaded!.slots[passage]!;
      if (slot < 0) return 0;
      kernel.lookAtPassage(slot, Ha, Hb);
      return kernel.flowOf(slot);
    },
    law(law, row) {
      loaded = null;
      kernel.begin(2, 0, 1);
      kernel.setPassage(0, law, 0, GROUNDWATER_LAWS.includes(law) ? -1 : 1, put(Float64Array.from(row)));
      return (Ha, Hb) => {
        kernel.lookAtPassage(0, Ha, Hb);
        return [kernel.flowOf(0), kernel.byFromOf(0), kernel.byToOf(0)];
      };
    },
    table(storage) {
      loaded = null;
      kernel.begin(1, 0, 0);
      const at = put(tableNumbers(storage));
      kernel.setBody(0, at, storage.pieces.length / PIECE, 0, 0, 1, 0, 0, 0);
      return (volume) => {
        kernel.setValue(0, volume);
        kernel.lookAtBody(0);
        return { level: kernel.levelOf(0), slope: kernel.levelSlopeOf(0) };
      };
    },
  };
}

/** Laws whose second level is that of the groundwater. */
const GROUNDWATER_LAWS: readonly Law[] = [LAW.seepage, LAW.hollowSeepage, LAW.weepHole];

function filled(count: number, value: (i: number) => number): Float64Array {
  const values = new Float64Array(count);
  for (let i = 0; i < count; i++) values[i] = value(i);
  return values;
}

function isSame(a: ReadonlySet<number>, b: ReadonlySet<number>): boolean {
  return a === b || (a.size === b.size && [...a].every((each) => b.has(each)));
}

/** Whether two networks differ at most in the numbers of their laws and in their groundwater. */
function isSameBut(a: Network, b: Network): boolean {
  if (a === b) return true;
  return a.passages === b.passages && a.emitter === b.emitter && a.bodies.every(({ storage }, i) => storage === b.bodies[i]?.storage);
}
