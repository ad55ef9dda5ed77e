import { Body, Mode, Piece, State, Storage } from "./body";
import { Link, Passage } from "./passage";

// The works in the memory of an instance, as the TypeScript side puts them there: bodies, modes, outside; passages in the order of
// their laws; numbers of laws and storage tables; links between bodies.

/** Laws in the order of their passages. From `WEIR` on a passage rests while its bodies are below their level `wakes`. */
export const SEEPAGE: i32 = 0;
export const HOLLOW_SEEPAGE: i32 = 1;
export const PIPE: i32 = 2;
export const SLITS: i32 = 3;
export const STONE: i32 = 4;
export const WEIR: i32 = 5;
export const SHARED_WEIR: i32 = 6;
export const SLOPED_WEIR: i32 = 7;
export const COVER: i32 = 8;
export const GRATE: i32 = 9;
export const WEEP_HOLE: i32 = 10;
export const EMITTER: i32 = 11;
export const LAWS: i32 = 12;

// `for (let b = bodies; b != bodiesEnd; b = b.after)`, and so with modes, passages and links
export let bodies: Body = changetype<Body>(0);
export let bodiesEnd: Body = changetype<Body>(0);
export let modes: Mode = changetype<Mode>(0);
export let modesEnd: Mode = changetype<Mode>(0);
export let outside: Body = changetype<Body>(0);
export let passages: Passage = changetype<Passage>(0);
export let passagesEnd: Passage = changetype<Passage>(0);
export let links: Link = changetype<Link>(0);
export let linksEnd: Link = changetype<Link>(0);
/** the mound under the bank: its body, its seepage and 1/(plan area) */
export let mounds: bool = false;
export let moundBody: Body = changetype<Body>(0);
export let moundPassage: Passage = changetype<Passage>(0);
export let perArea: f64 = 0;
/** the emitter, and whether its lid is open */
export let hasEmitter: bool = false;
export let emitter: Passage = changetype<Passage>(0);
export let lidOpen: bool = false;
export let opensAtHead: f64 = 0;
export let closesAtHead: f64 = 0;

/** where the passages of each law begin, and after the last law their end */
let firsts: usize = 0;
let used: usize = __heap_base;

/** Takes memory that is set to 0 and stays until the next `begin`. */
export function reserve(bytes: usize): usize {
  const at = (used + 15) & ~15;
  used = at + bytes;
  const pages = <i32>((used + 0xffff) >>> 16) - memory.size();
  if (pages > 0) memory.grow(pages);
  memory.fill(at, 0, bytes);
  return at;
}

/** Makes room for works; whatever was loaded before is gone. */
export function begin(bodyCount: i32, modeCount: i32, passageCount: i32): void {
  used = __heap_base;
  bodies = changetype<Body>(reserve(<usize>(bodyCount + modeCount + 1) * offsetof<Body>()));
  bodiesEnd = bodyAt(bodyCount);
  modes = changetype<Mode>(bodiesEnd);
  outside = bodyAt(bodyCount + modeCount);
  modesEnd = changetype<Mode>(outside);
  outside.level = -Infinity;
  passages = changetype<Passage>(reserve(<usize>passageCount * offsetof<Passage>()));
  passagesEnd = passageAt(passageCount);
  firsts = reserve(<usize>(LAWS + 1) << 2);
  for (let law = 0; law <= LAWS; law++) store<usize>(firsts + (<usize>law << 2), changetype<usize>(passagesEnd));
  mounds = false;
  hasEmitter = false;
  lidOpen = false;
}

/** The body, mode or outside of an index. */
export function bodyAt(i: i32): Body { return changetype<Body>(changetype<usize>(bodies) + <usize>i * offsetof<Body>()); }

export function indexOf(body: Body): i32 { return <i32>((changetype<usize>(body) - changetype<usize>(bodies)) / offsetof<Body>()); }

export function passageAt(i: i32): Passage { return changetype<Passage>(changetype<usize>(passages) + <usize>i * offsetof<Passage>()); }

function firstOf(law: i32): Passage { return changetype<Passage>(load<usize>(firsts + (<usize>law << 2))); }

/** Where the passages of a law end. */
export function endOf(law: i32): Passage { return firstOf(law + 1); }

/** @param storage  address of its table, which has `pieces` pieces; `corners` that of its corners */
export function setBody(
  i: i32, storage: usize, pieces: i32, corners: usize, cornerCount: i32, scale: f64, lowest: f64, film: f64, wakes: f64,
): void {
  const body = bodyAt(i);
  body.storage = changetype<Storage>(storage);
  body.piece = body.storage.firstPiece;
  body.lastPiece = changetype<Piece>(changetype<usize>(body.piece) + <usize>(pieces - 1) * offsetof<Piece>());
  body.corners = corners;
  body.cornersEnd = corners + (<usize>cornerCount << 3);
  body.mostScale = scale;
  body.lowest = lowest;
  body.film = film;
  body.wakes = wakes;
}

/** To be called in the order of laws; `to` is -1 where the water leaves the works. */
export function setPassage(i: i32, law: i32, from: i32, to: i32, row: usize): void {
  const p = passageAt(i);
  p.from = bodyAt(from);
  p.to = to < 0 ? outside : bodyAt(to);
  p.row = row;
  p.forward = from < to ? 1 : 0;
  for (let l = law; l >= 0 && firstOf(l) == passagesEnd; l--) store<usize>(firsts + (<usize>l << 2), changetype<usize>(p));
}

export function setMode(i: i32, timeConstant: f64, share: f64, scale: f64): void {
  const mode = changetype<Mode>(changetype<usize>(modes) + <usize>i * offsetof<Body>());
  mode.timeConstant = timeConstant;
  mode.share = share;
  mode.scale = scale;
  mode.lowest = -Infinity;
  mode.keeps = -Infinity;
}

export function setMound(body: i32, passage: i32, area: f64): void {
  mounds = true;
  moundBody = bodyAt(body);
  moundPassage = passageAt(passage);
  perArea = 1.0 / area;
}

export function setEmitter(passage: i32, opens: f64, closes: f64): void {
  hasEmitter = true;
  emitter = passageAt(passage);
  opensAtHead = opens;
  closesAtHead = closes;
}

export function setLid(open: bool): void { lidOpen = open; }
export function isOpen(): bool { return lidOpen; }

/** Sets the links that `join` in tree.ts has laid out. */
export function setLinks(first: Link, end: Link): void {
  links = first;
  linksEnd = end;
}

/** The states of bodies and modes: `for (let s = states(); s != statesEnd(); s = s.next)`. */
export function states(): State { return changetype<State>(bodies); }
export function statesEnd(): State { return changetype<State>(outside); }

/** The value of a body or mode. */
export function setValue(i: i32, value: f64): void { bodyAt(i).value = value; }
/** A volume that a body does not fall below by itself. */
export function setKeeps(i: i32, volume: f64): void { bodyAt(i).keeps = volume; }
/** y' where the last step ended */
export function rateOf(i: i32): f64 { return bodyAt(i).startRate; }
export function valueOf(i: i32): f64 { return bodyAt(i).value; }

/** Works out level and slope of a body by itself. */
export function lookAtBody(i: i32): void {
  bodyAt(i).at = bodyAt(i).value;
  bodyAt(i).setLevel(true);
}
export function levelOf(i: i32): f64 { return bodyAt(i).level; }
export function levelSlopeOf(i: i32): f64 { return bodyAt(i).levelSlope; }
export function inflowOf(i: i32): f64 { return bodyAt(i).inflow; }
export function enteredOf(i: i32): f64 { return bodyAt(i).enteredAll; }
export function topOf(i: i32): f64 { return bodyAt(i).top; }
export function topTimeOf(i: i32): f64 { return bodyAt(i).topTime; }

export function flowOf(i: i32): f64 { return passageAt(i).flow; }
export function byFromOf(i: i32): f64 { return passageAt(i).byFrom; }
export function byToOf(i: i32): f64 { return passageAt(i).byTo; }
export function forthOf(i: i32): f64 { return passageAt(i).forth; }
export function backOf(i: i32): f64 { return passageAt(i).back; }
