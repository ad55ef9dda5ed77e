import { Passage, Found } from "./passage";

// One class a law: the numbers of a passage's row, in the order of `...Row` in lib/works, and its flow with both slopes. Ha and Hb
// are the levels at its ends, E = max(H, z) over its crest z, d = max(Ea, Eb) - z and x = Ea - Eb. Flows rise with Ha and fall with Hb.

/** eps: head within which the root of a head difference is made smooth at rest [m] */
const REST: f64 = 1e-3;
/** delta: depth over which a wetted floor comes into play [m] */
const FILM: f64 = 1e-3;

/** r(x) = x / (x^2 + eps^2)^(1/4), the root with its sign */
function smoothRoot(x: f64): f64 { return x / sqrt<f64>(sqrt<f64>(x * x + REST * REST)); }

/** r' = (x^2/2 + eps^2) / (x^2 + eps^2)^(5/4) */
function smoothRootSlope(x: f64): f64 {
  const square = x * x + REST * REST;
  return (0.5 * x * x + REST * REST) / (square * sqrt<f64>(sqrt<f64>(square)));
}

@unmanaged class Across {
  /** Q = c(d) r(x), given c and dc/dd, over a crest z; at the crest itself the slopes upwards. */
  @inline static flow(p: Passage, z: f64, c: f64, byDepth: f64, slopes: bool): void {
    const overA = p.from.level - z, overB = p.to.level - z, da = max<f64>(0, overA), db = max<f64>(0, overB);
    const x = da - db, root = smoothRoot(x), byHead = slopes ? c * smoothRootSlope(x) : 0;
    Found.flow(p, c * root,
      overA < 0 ? 0 : byHead + (da >= db ? byDepth * root : 0),
      overB < 0 ? 0 : -byHead + (db > da ? byDepth * root : 0), slopes);
  }

  /** d */
  @inline static depth(p: Passage, z: f64): f64 { return max<f64>(0, max<f64>(p.from.level, p.to.level) - z); }
}

// ---- section 2: passages

const FULL: f64 = Math.PI / 4;
/** depth in diameters from which an entrance works as an orifice, and c there over the root of its head */
const ORIFICE_FROM: f64 = 1.5;
const ORIFICE: f64 = 0.5 * 1.5 * 1.5 * (1.0 - 0.277 * 1.5);

/**
 * A pipe, the smaller of what it passes running full and what its entrance lets in:
 *
 *   Q_full = seg(D, d) sqrt(2g/K) r(x),   Q_entrance = sqrt(g) D^2.5 c(d/D),   c(r) = 0.5 r^2 (1 - 0.277 r), then an orifice
 */
@unmanaged export class Pipe {
  crest: f64;
  diameter: f64;
  /** sqrt(2g/K) */
  conveyance: f64;
  /** sqrt(g) D^2.5 */
  entrance: f64;
  perDiameter: f64;

  @inline flow(p: Passage, slopes: bool): void {
    const Ha = p.from.level, Hb = p.to.level, crest = this.crest;
    if (Ha <= crest && Hb <= crest) { Found.rest(p, slopes); return; }
    const D = this.diameter, forward = Ha >= Hb, up = forward ? Ha : Hb, down = forward ? Hb : Ha;
    const d = up - crest, x = down > crest ? up - down : d, r = d * this.perDiameter, wide = r > ORIFICE_FROM;
    const entrance = this.entrance * (wide ? ORIFICE * sqrt<f64>(r - 0.5) : 0.5 * r * r * (1.0 - 0.277 * r));
    // the two are compared by their squares, the root in r(x)^2 = x^2/half left; most often the entrance governs by far, as a lower bound
    // of the wetted area shows
    const square = x * x + REST * REST, half = sqrt<f64>(square), least = this.conveyance * D * D * x;
    let c: f64 = -1;
    if (least * least * leastShare(r) <= entrance * entrance * half) {
      c = this.conveyance * segmentArea(D, d);
      if (c * c * x * x > entrance * entrance * half) c = -1;
    }
    if (c < 0) {
      const byUp = !slopes ? 0 : wide ? 0.5 * entrance * this.perDiameter / (r - 0.5) : this.entrance * this.perDiameter * r * (1.0 - 0.4155 * r);
      Found.flow(p, forward ? entrance : -entrance, forward ? byUp : 0, forward ? 0 : -byUp, slopes);
    } else {
      const fourth = sqrt<f64>(half), root = x / fourth, q = c * root;
      const byHead = slopes ? c * (0.5 * x * x + REST * REST) / (square * fourth) : 0;
      const byUp = slopes && d < D ? this.conveyance * 2.0 * sqrt<f64>(d * (D - d)) * root + byHead : byHead, byDown = down > crest ? -byHead : 0;
      Found.flow(p, forward ? q : -q, forward ? byUp : -byDown, forward ? byDown : -byUp, slopes);
    }
  }
}

/** seg(D, y) for y > 0; acos loses its digits near bottom and top */
function segmentArea(D: f64, y: f64): f64 {
  if (y >= D) return FULL * D * D;
  const R = 0.5 * D, share = y / D;
  const half = share < 0.25 ? 2.0 * Math.asin(sqrt<f64>(share))
    : share > 0.75 ? Math.PI - 2.0 * Math.asin(sqrt<f64>((D - y) / D)) : Math.acos(1.0 - 2.0 * share);
  return R * R * half - (R - y) * sqrt<f64>(y * (D - y));
}

/**
 * The square of a lower bound of A/D^2 for a depth of r diameters, within 6 % of it: A/(D^2 r^1.5) is concave in r, so it lies above its
 * chord from 4/3 to pi/4.
 */
function leastShare(r: f64): f64 {
  const chord = 4.0 / 3.0 - (4.0 / 3.0 - FULL) * r;
  return r >= 1 ? FULL * FULL : r * r * r * chord * chord;
}

/** Spill over a rim or ground: Q = 1.7 P (Ha - z)^1.5 */
@unmanaged export class Weir {
  crest: f64;
  /** 1.7 P */
  coefficient: f64;

  @inline flow(p: Passage, slopes: bool): void {
    const head = p.from.level - this.crest;
    if (head <= 0) { Found.rest(p, slopes); return; }
    const root = this.coefficient * sqrt<f64>(head);
    Found.flow(p, root * head, 1.5 * root, 0, slopes);
  }
}

/** The emitter with its lid open: Q = min(1.7 pi D h^1.5, 0.6 A sqrt(2 g h)), h over crest, tailwater or the water it stands in. */
@unmanaged export class Emitter {
  sill: f64;
  /** 1.7 pi D */
  edge: f64;
  /** 0.6 pi/4 D^2 sqrt(2g) */
  orifice: f64;

  @inline headOf(Ha: f64, Hb: f64): f64 { return Ha - max<f64>(this.sill, Hb); }

  flowAt(head: f64): f64 {
    if (head <= 0) return 0;
    const root = sqrt<f64>(head);
    return min<f64>(this.edge * head, this.orifice) * root;
  }

  @inline flow(p: Passage, slopes: bool): void {
    const head = this.headOf(p.from.level, p.to.level);
    if (head <= 0) { Found.rest(p, slopes); return; }
    const root = sqrt<f64>(head), edge = this.edge * head, isWeir = edge <= this.orifice;
    const slope = isWeir ? 1.5 * this.edge * root : 0.5 * this.orifice / root;
    Found.flow(p, min<f64>(edge, this.orifice) * root, slope, p.to.level > this.sill ? -slope : 0, slopes);
  }
}

/**
 * A weep hole into a pocket of soil, never back: what the hole passes or what the soil takes, whichever is less,
 *
 *   Q = min(0.6 pi/4 d^2 sqrt(2g) r(x), i K A),   x = max(0, H - max(z, G)),   i = max(0, min(1, (H - G)/path))
 */
@unmanaged export class WeepHole {
  elevation: f64;
  orifice: f64;
  /** K A of the pocket */
  takes: f64;
  perPath: f64;

  @inline flow(p: Passage, slopes: bool): void {
    const H = p.from.level, G = p.from.groundwater, x = H - max<f64>(this.elevation, G);
    if (x <= 0) { Found.rest(p, slopes); return; }
    const gradient = (H - G) * this.perPath, passes = this.orifice * smoothRoot(x), takes = this.takes * min<f64>(1, gradient);
    if (passes <= takes) {
      const slope = slopes ? this.orifice * smoothRootSlope(x) : 0;
      Found.flow(p, passes, slope, G > this.elevation ? -slope : 0, slopes);
    } else {
      const slope = gradient < 1 ? this.takes * this.perPath : 0;
      Found.flow(p, takes, slope, -slope, slopes);
    }
  }
}

// ---- section 3: seepage. Hb is the level of the groundwater, G

/**
 * Seepage of bank or trench: Q = i S(H*), H* = max(H, G) up to the stone top, i = max(-1, min(1, (max(H, floor) - G)/path)).
 * S(h) = K_floor A_floor min(1, y/delta) + P integral of K dz is piecewise quadratic; its pieces and the layers follow the row.
 */
@unmanaged export class Seepage {
  lowFloor: f64;
  highFloor: f64;
  perPath: f64;
  depth: f64;
  width: f64;
  length: f64;
  floorShare: f64;
  /** upright faces per metre of length: 2 or none; 1 where an end face touches soil */
  sides: f64;
  highEnd: f64;
  lowEnd: f64;
  layerCount: f64;
  /** where in the row the layers begin */
  layersAt: f64;

  @inline get pieces(): Conductance { return changetype<Conductance>(changetype<usize>(this) + offsetof<Seepage>()); }

  @inline get layers(): Layer { return changetype<Layer>(changetype<usize>(this) + (<usize>this.layersAt << 3)); }

  @inline flow(p: Passage, slopes: bool): void {
    const H = p.from.level, G = p.from.groundwater, floor = this.lowFloor;
    if (H <= floor && G <= floor) { this.emptyFilm(p, H, G, slopes); return; }
    if (G > H && this.highFloor > floor) { this.risingUnder(p, H, G, slopes); return; }
    const gradient = ((H > floor ? H : floor) - G) * this.perPath, free = gradient < 1 && gradient > -1;
    // the last piece ends at Infinity, which a flow beyond all measure reaches within a step that is then refused
    const i: f64 = gradient >= 1 ? 1 : gradient <= -1 ? -1 : gradient, wet = min<f64>(H > G ? H : G, f64.MAX_VALUE);
    let piece = this.pieces;
    while (wet >= piece.nextLevel) piece = piece.after;
    const s = wet - piece.level, S = piece.c0 + s * (piece.c1 + s * piece.c2), dS = piece.c1 + 2.0 * s * piece.c2;
    Found.flow(p, i * S,
      (free && H > floor ? this.perPath * S : 0) + (H > G ? i * dS : 0),
      (free ? -this.perPath * S : 0) + (H > G ? 0 : i * dS), slopes);
  }

  /**
   * An empty body gives nothing. Over a level floor the film's law goes on below it, the straight line it is: a stage of a
   * step may reach there while the film drains, and a bend at the floor would take the last drops for ever.
   */
  private emptyFilm(p: Passage, H: f64, G: f64, slopes: bool): void {
    if (this.highFloor > this.lowFloor) { Found.rest(p, slopes); return; }
    const film = this.pieces.c1, y = H - this.lowFloor, gradient = (this.lowFloor - G) * this.perPath, slope = min<f64>(1, gradient) * film;
    Found.flow(p, slope * y, slope, gradient < 1 ? -this.perPath * film * y : 0, slopes);
  }

  /**
   * Groundwater above the water over a floor that falls: i differs along it,
   *
   *   Q = (L/fall) integral of i(f) s(G, f) df over the floors f below G, and the end faces with their own i
   *
   * Between corners the integrand is a polynomial of degree 2, so two Gauss points a piece are exact.
   */
  private risingUnder(p: Passage, H: f64, G: f64, slopes: bool): void {
    face.flow = 0;
    face.byH = 0;
    face.byG = 0;
    const stretch = this.length / (this.highFloor - this.lowFloor), top = min<f64>(this.highFloor, G);
    for (let low = this.lowFloor; low < top;) {
      const high = this.cornerAbove(low, top, H, G), half = 0.5 * (high - low), off = half / sqrt<f64>(3);
      this.addFace(low + half - off, stretch * half, this.width * this.floorShare, this.sides, H, G);
      this.addFace(low + half + off, stretch * half, this.width * this.floorShare, this.sides, H, G);
      low = high;
    }
    if (this.highEnd > 0 && G > this.highFloor) this.addFace(this.highFloor, this.width, 0, 1, H, G);
    if (this.lowEnd > 0) this.addFace(this.lowFloor, this.width, 0, 1, H, G);
    Found.flow(p, face.flow, face.byH, face.byG, slopes);
  }

  /** The next floor level above `low`, `top` at the latest, where i(f) s(G, f) has a corner. */
  private cornerAbove(low: f64, top: f64, H: f64, G: f64): f64 {
    let next = nearer(low, top, H);
    next = nearer(low, next, G - 1.0 / this.perPath);
    next = nearer(low, next, G - FILM);
    next = nearer(low, next, G - this.depth);
    let layer = this.layers;
    for (let n = <i32>this.layerCount; n > 0; n--, layer = layer.after) {
      next = nearer(low, next, layer.bottom);
      next = nearer(low, next, layer.bottom - this.depth);
    }
    return next;
  }

  /** Adds weight x i(f) s(G, f) and its slopes: `floorWidth` of floor and `sides` upright faces at a local floor f. */
  private addFace(f: f64, weight: f64, floorWidth: f64, sides: f64, H: f64, G: f64): void {
    const gradient = (max<f64>(H, f) - G) * this.perPath, free = gradient > -1, i = max<f64>(-1, gradient);
    const stoneTop = f + this.depth, wet = min<f64>(G, stoneTop), film = min<f64>(1, (wet - f) / FILM);
    let onFloor: f64 = 0, behindSides: f64 = 0, atTop: f64 = 0, upper: f64 = Infinity, layer = this.layers;
    for (let n = <i32>this.layerCount; n > 0; n--, layer = layer.after) {
      const lower = layer.bottom, K = layer.conductivity;
      if (f > lower && f <= upper) onFloor = K;
      behindSides += K * max<f64>(0, min<f64>(wet, upper) - max<f64>(f, lower));
      if (wet > lower && wet <= upper) atTop = K;
      upper = lower;
    }
    const s = floorWidth * onFloor * film + sides * behindSides;
    const ds: f64 = G < stoneTop ? (film < 1 ? floorWidth * onFloor / FILM : 0) + sides * atTop : 0;
    face.flow += weight * i * s;
    face.byH += free && H > f ? weight * this.perPath * s : 0;
    face.byG += weight * ((free ? -this.perPath * s : 0) + i * ds);
  }
}

/** A piece of S(h): c0 + s (c1 + s c2), s = h - level; the next piece follows it. */
@unmanaged class Conductance {
  level: f64;
  c0: f64;
  c1: f64;
  c2: f64;
  nextLevel: f64;

  @inline get after(): Conductance { return changetype<Conductance>(changetype<usize>(this) + offsetof<Conductance>("nextLevel")); }
}

/** A layer of the soil, from the top down. */
@unmanaged class Layer {
  bottom: f64;
  conductivity: f64;

  @inline get after(): Layer { return changetype<Layer>(changetype<usize>(this) + offsetof<Layer>()); }
}

/** Where the faces of `risingUnder` are summed. */
@unmanaged class Face {
  flow: f64;
  byH: f64;
  byG: f64;
}
const face = changetype<Face>(memory.data(offsetof<Face>()));

function nearer(low: f64, next: f64, level: f64): f64 { return level > low && level < next ? level : next; }

// ---- section 7: low spot, cover, slits, segments

/** Under the low spot: Q = i K A(max(H, min(G, lip))), A = spread depth^power, a straight line in the lowest film, as its volume is, and on below */
@unmanaged export class HollowSeepage {
  floor: f64;
  perPath: f64;
  conductivity: f64;
  lip: f64;
  spread: f64;
  power: f64;
  film: f64;

  @inline flow(p: Passage, slopes: bool): void {
    const H = p.from.level, G = p.from.groundwater, held = min<f64>(G, this.lip), depth = (held > this.floor ? max<f64>(H, held) : H) - this.floor;
    const gradient = (max<f64>(H, this.floor) - G) * this.perPath, free = gradient < 1 && gradient > -1, i = max<f64>(-1, min<f64>(1, gradient));
    const isFilm = depth < this.film, d = isFilm ? this.film : depth;
    const most = this.conductivity * this.spread * (this.power == 1 ? d : Math.pow(d, this.power));
    const S = isFilm ? most * depth / d : most, dS = isFilm ? most / d : this.power * S / depth;
    Found.flow(p, i * S,
      (free && H > this.floor ? this.perPath * S : 0) + (H >= held || held <= this.floor ? i * dS : 0),
      (free ? -this.perPath * S : 0) + (H < held && held > this.floor && G < this.lip ? i * dS : 0), slopes);
  }
}

/** A rim or ground with water on both sides: Q = 1.7 P d r(x) */
@unmanaged export class SharedWeir {
  crest: f64;
  coefficient: f64;

  @inline flow(p: Passage, slopes: bool): void {
    const d = Across.depth(p, this.crest);
    if (d == 0) { Found.rest(p, slopes); return; }
    Across.flow(p, this.crest, this.coefficient * d, this.coefficient, slopes);
  }
}

/**
 * Spill along a ground that slopes from z_h down to z_l: Q = 1.7 [2 x 0.4 L (a^2.5 - b^2.5)/(z_h - z_l) + w_l a^1.5 + w_h b^1.5],
 * a = max(0, Ha - z_l), b = max(0, Ha - z_h)
 */
@unmanaged export class SlopedWeir {
  low: f64;
  high: f64;
  /** 1.7 x 0.8 L/(z_h - z_l) */
  sides: f64;
  /** 1.7 w of the two ends */
  lowEnd: f64;
  highEnd: f64;

  @inline flow(p: Passage, slopes: bool): void {
    const a = p.from.level - this.low;
    if (a <= 0) { Found.rest(p, slopes); return; }
    const b = max<f64>(0, p.from.level - this.high), rootA = sqrt<f64>(a), rootB = sqrt<f64>(b);
    Found.flow(p,
      this.sides * (a * a * rootA - b * b * rootB) + this.lowEnd * a * rootA + this.highEnd * b * rootB,
      2.5 * this.sides * (a * rootA - b * rootB) + 1.5 * (this.lowEnd * rootA + this.highEnd * rootB), 0, slopes);
  }
}

/** A grate: Q = min(1.7 P d, 0.6 A sqrt(2g)) r(x) */
@unmanaged export class Grate {
  level: f64;
  edge: f64;
  orifice: f64;

  @inline flow(p: Passage, slopes: bool): void {
    const edge = this.edge * Across.depth(p, this.level);
    if (edge == 0) { Found.rest(p, slopes); return; }
    Across.flow(p, this.level, min<f64>(edge, this.orifice), edge <= this.orifice ? this.edge : 0, slopes);
  }
}

/** Water pressed up through the cover: Q = K_c A (Ha - max(ground, Hb))/t_c, upwards only */
@unmanaged export class Cover {
  ground: f64;
  /** K_c A / t_c */
  conductance: f64;

  @inline flow(p: Passage, slopes: bool): void {
    const head = p.from.level - max<f64>(this.ground, p.to.level);
    if (head <= 0) { Found.rest(p, slopes); return; }
    Found.flow(p, this.conductance * head, this.conductance, p.to.level > this.ground ? -this.conductance : 0, slopes);
  }
}

/** Slits of a pipe: Q = 0.6 a L f sqrt(2g) r(x), f = acos(1 - 2y/D)/pi the share of its circumference under water */
@unmanaged export class Slits {
  invert: f64;
  coefficient: f64;
  diameter: f64;

  @inline flow(p: Passage, slopes: bool): void {
    const d = Across.depth(p, this.invert), D = this.diameter;
    if (d == 0) { Found.rest(p, slopes); return; }
    const share = d < D ? Math.acos(1.0 - 2.0 * d / D) / Math.PI : 1;
    const shareSlope = slopes && d < D ? 1.0 / (Math.PI * sqrt<f64>(d * (D - d))) : 0;
    Across.flow(p, this.invert, this.coefficient * share, this.coefficient * shareSlope, slopes);
  }
}

/** The stone between two segments (Darcy): Q = k_s w min(d, stone depth) x / L */
@unmanaged export class Stone {
  floor: f64;
  /** k_s w / L */
  conductance: f64;
  depth: f64;

  @inline flow(p: Passage, slopes: bool): void {
    const overA = p.from.level - this.floor, overB = p.to.level - this.floor, da = max<f64>(0, overA), db = max<f64>(0, overB), d = max<f64>(da, db);
    if (d == 0) { Found.rest(p, slopes); return; }
    const c = this.conductance * min<f64>(d, this.depth), byDepth: f64 = d < this.depth ? this.conductance * (da - db) : 0;
    Found.flow(p, c * (da - db), overA < 0 ? 0 : c + (da >= db ? byDepth : 0), overB < 0 ? 0 : -c + (db > da ? byDepth : 0), slopes);
  }
}
