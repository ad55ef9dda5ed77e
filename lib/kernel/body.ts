/**
 * One number that the stepper carries on: the volume of a body (model, section 1), or a mode of the mound under the bank
 * (section 3). States stand one behind the other in the memory of an instance: bodies, modes, and last the outside.
 */
@unmanaged export class State {
  /** at the start of the step: its value, y', y'' and the part of y'' that is df/dt */
  value: f64;
  startRate: f64;
  bend: f64;
  timeSlope: f64;
  /** where the rates are asked for: its value and rate there */
  at: f64;
  rate: f64;
  /** right side, then solution, of the linear equations of a stage; and the solutions of all stages but the last */
  x: f64;
  k1: f64;
  k2: f64;
  k3: f64;
  k4: f64;
  k5: f64;
  /** of the trial step: its end, the rate there, the dense output y(u) = y0 + u (y1 - y0 + (1-u) (e1 + u e2)), and sum b_i k_i */
  end: f64;
  endRate: f64;
  dense1: f64;
  dense2: f64;
  direction: f64;
  /** what an error is weighed against besides the value itself, what no step may end below, and what none falls below */
  scale: f64;
  lowest: f64;
  keeps: f64;

  @inline get next(): State { return changetype<State>(changetype<usize>(this) + offsetof<Body>()); }

  /** The value at a share u of the trial step. */
  @inline within(u: f64): f64 {
    return this.value + u * (this.end - this.value + (1.0 - u) * (this.dense1 + u * this.dense2));
  }
}

/** A body of water: its geometry is the table of its storage, the state is its volume, so water cannot be lost. */
@unmanaged export class Body extends State {
  /** level [m] at the volume `at`, and dH/dV [1/m2] */
  level: f64;
  levelSlope: f64;
  /** straight lines of the segment: inflow [m3/s] and groundwater level [m] where it starts, and their slopes */
  inflowStart: f64;
  inflowSlope: f64;
  groundwaterStart: f64;
  groundwaterSlope: f64;
  /** groundwater level now [m] */
  groundwater: f64;
  /** inflow now [m3/s] and its slope with the volume, which is not 0 where a pump fades; both at the step's start too */
  inflow: f64;
  fading: f64;
  startInflow: f64;
  startFading: f64;
  startInflowSlope: f64;
  /** weighted sum of the inflow over the stages, what came in during the trial step and in all [m3] */
  inflowSum: f64;
  entered: f64;
  enteredAll: f64;
  /** df/dV of itself, and the inverse pivot of the step's matrix */
  own: f64;
  pivot: f64;
  /** most that errors of its volume are weighed against [m3] */
  mostScale: f64;
  /** change of its inflow's slope where the segment began [m3/s2] */
  inflowBend: f64;
  /** volume 1 mm above its floor [m3]: a pump fades out below it */
  film: f64;
  /** level below which no edge (spill, emitter, weep hole) has to do with it [m] */
  wakes: f64;
  /** the corners of geometry and laws next above and next below it [m3] */
  above: f64;
  below: f64;
  /** the highest volume so far, and when */
  top: f64;
  topTime: f64;
  storage: Storage;
  piece: Piece;
  lastPiece: Piece;
  /** its couplings with bodies behind it */
  links: usize;
  linksEnd: usize;
  corners: usize;
  cornersEnd: usize;
  /** so that the size is a multiple of 8 bytes, as numbers of double precision want it */
  spare: i32;

  @inline get after(): Body { return changetype<Body>(changetype<usize>(this) + offsetof<Body>()); }

  @inline get before(): Body { return changetype<Body>(changetype<usize>(this) - offsetof<Body>()); }

  /** Errors of its volume are weighed against what a metre of level holds where it stands. */
  @inline weigh(): void { this.scale = min<f64>(this.mostScale, 1.0 / this.levelSlope); }

  /** Writes the level, and where asked for dH/dV, at the volume `at`. */
  @inline setLevel(slopes: bool): void {
    const v = this.at, storage = this.storage;
    if (v >= storage.topVolume) {
      this.level = storage.topLevel + (v - storage.topVolume) * storage.topSlope;
      if (slopes) this.levelSlope = storage.topSlope;
    } else if (v <= storage.linearBelow) {
      this.level = storage.floor + v * (v > 0 ? storage.bottomSlope : storage.emptySlope);
      if (slopes) this.levelSlope = v < -storage.linearBelow ? storage.emptySlope : storage.bottomSlope;
    } else {
      const w = storage.raised(v), piece = this.pieceOf(w), s = w - piece.w;
      this.level = piece.level + s * (piece.b + s * (piece.c + s * piece.d));
      if (slopes) {
        const slope = piece.b + s * (2.0 * piece.c + 3.0 * s * piece.d);
        this.levelSlope = storage.exponent == 1 ? slope : slope * storage.exponent * w / v;
      }
    }
  }

  /** The level at another volume [m]. */
  levelOf(v: f64): f64 {
    const storage = this.storage;
    if (v >= storage.topVolume) return storage.topLevel + (v - storage.topVolume) * storage.topSlope;
    if (v <= storage.linearBelow) return storage.floor + v * (v > 0 ? storage.bottomSlope : storage.emptySlope);
    const w = storage.raised(v), piece = this.pieceOf(w), s = w - piece.w;
    return piece.level + s * (piece.b + s * (piece.c + s * piece.d));
  }

  /** Volumes creep, so the piece is the last one or beside it. */
  @inline private pieceOf(w: f64): Piece {
    let piece = this.piece;
    const first = this.storage.firstPiece, last = this.lastPiece;
    while (w < piece.w && changetype<usize>(piece) > changetype<usize>(first)) piece = piece.before;
    while (changetype<usize>(piece) < changetype<usize>(last) && w >= piece.after.w) piece = piece.after;
    this.piece = piece;
    return piece;
  }
}

/**
 * The storage table of a body: cubics H = level + s (b + s (c + s d)), s = w - w0, in w = V^exponent; a straight line from the
 * floor up to `linearBelow`, and a constant free area above `topVolume`. Its pieces follow it.
 */
@unmanaged export class Storage {
  exponent: f64;
  linearBelow: f64;
  topVolume: f64;
  floor: f64;
  /** dH/dV below an empty body (round-off), and from the floor to `linearBelow` */
  emptySlope: f64;
  bottomSlope: f64;
  topLevel: f64;
  topSlope: f64;

  @inline get firstPiece(): Piece { return changetype<Piece>(changetype<usize>(this) + offsetof<Storage>()); }

  /** V^exponent */
  @inline raised(v: f64): f64 {
    return this.exponent == 1 ? v : this.exponent == 0.5 ? sqrt<f64>(v) : Math.pow(v, this.exponent);
  }
}

@unmanaged export class Piece {
  w: f64;
  level: f64;
  b: f64;
  c: f64;
  d: f64;

  @inline get after(): Piece { return changetype<Piece>(changetype<usize>(this) + offsetof<Piece>()); }

  @inline get before(): Piece { return changetype<Piece>(changetype<usize>(this) - offsetof<Piece>()); }
}

/** A mode of the mound: y' = w - y/T, w the bank's net seepage over its plan area; c y is its share of the rise. */
@unmanaged export class Mode extends State {
  timeConstant: f64;
  /** c_k at the bank's centre */
  share: f64;
  /** 1 / (d + 1/T) in the step's matrix */
  inverse: f64;

  @inline get after(): Mode { return changetype<Mode>(changetype<usize>(this) + offsetof<Body>()); }
}
