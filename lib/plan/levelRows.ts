import type { OverflowTrench, Pipe, SettlingBox, Site } from "../site/site.ts";

/** One level to be set or checked. */
export interface LevelRow {
  /** where it lies: "pit", or a box by its own name */
  readonly station: string;
  readonly name: string;
  readonly level: number;
  /** below the ground at that place [m], less than 0 above it; null where the file gives no ground there */
  readonly depth: number | null;
  /** along the pipe or the trench that leads here; null where none does */
  readonly along: LevelRun | null;
}

/** The way from another level of the list to this one. */
export interface LevelRun {
  /** the level it comes from, in words */
  readonly from: string;
  /** [m], 0 where the file gives none */
  readonly length: number;
  /** [m], less than 0 uphill */
  readonly fall: number;
  /** fall over length; null without a length */
  readonly slope: number | null;
}

/** Every level of a site in the water's way, boxes first, emitter and low spot last; at each station from the highest down. */
export function levelRows(site: Site): LevelRow[] {
  return [
    ...site.settlingBoxes.map((box) => boxRows(box, boxStation(box, site))),
    pitRows(site), ...trenchRows(site.overflowTrench), emitterRows(site), lowSpotRows(site),
  ].flatMap((rows) => rows.sort((a, b) => b.level - a.level));
}

/** What a person calls a box: by its name only where there are several. */
export function boxStation({ name }: SettlingBox, { settlingBoxes }: Pick<Site, "settlingBoxes">): string {
  return settlingBoxes.length === 1 ? "settling box" : name;
}

/** A box's outlet pipe in words. */
export function pipeName(box: SettlingBox, { settlingBoxes }: Pick<Site, "settlingBoxes">): string {
  return settlingBoxes.length === 1 ? "pipe from the settling box" : `pipe from ${box.name}`;
}

/** The file gives no ground at a box: its rim is what depths are measured from there, and it is no ground. */
function boxRows(box: SettlingBox, station: string): LevelRow[] {
  const row = (name: string, level: number): LevelRow => ({ station, name, level, depth: null, along: null });
  return [row("rim", box.rim), row("outlet invert", box.outlet.invert), row("floor", box.floor)];
}

function pitRows({ settlingBoxes, chamberBank: pit, overflowTrench: trench }: Site): LevelRow[] {
  const row = (name: string, level: number, along: LevelRun | null = null): LevelRow =>
    ({ station: "pit", name, level, depth: pit.ground - level, along });
  const several = pit.chambers.length > 1;
  return [
    row("ground", pit.ground), row("stone top", pit.stoneTop),
    ...settlingBoxes.map((box) => {
      const name = settlingBoxes.length === 1 ? "the box" : box.name;
      return row(`pipe from ${name}, end`, box.outlet.outletInvert, along(box.outlet, "outlet invert"));
    }),
    ...pit.chambers.map(({ height }, i) => row(several ? `top of chambers ${i + 1}` : "chamber top", pit.floor + pit.stone.base + height)),
    ...(pit.chambers.length === 0 ? [] : [row("foot of the chambers", pit.floor + pit.stone.base)]),
    ...(trench === null ? [] : [row("pipe to the trench, start", trench.inlet.invert)]),
    row("floor", pit.floor),
  ];
}

function trenchRows(trench: OverflowTrench | null): LevelRow[][] {
  if (trench === null) return [];
  const { floor, fall, length, ground, stoneTop, inlet, pipe } = trench;
  const end = (station: string, drop: number, surface: number, more: readonly LevelRow[]): LevelRow[] => {
    const row = (name: string, level: number): LevelRow => ({
      station, name, level, depth: surface - level,
      along: more.length > 0 ? null : { from: `${name}, high end`, length, fall: drop, slope: drop / length },
    });
    return [
      { ...row("ground", surface), along: null }, row("stone top", drop > 0 ? stoneTop.low : stoneTop.high),
      ...(pipe === null ? [] : [row("trench pipe invert", floor - drop + pipe.rise)]), row("floor", floor - drop), ...more,
    ];
  };
  const inletEnd: LevelRow = {
    station: "trench, high end", name: "pipe from the pit, end", level: inlet.outletInvert, depth: ground.high - inlet.outletInvert,
    along: along(inlet, "pipe to the trench, start"),
  };
  return [end("trench, high end", 0, ground.high, [inletEnd]), end("trench, low end", fall, ground.low, [])];
}

/** In the low spot the emitter stands lower than the ground over the trench, and the file does not say how low. */
function emitterRows(site: Site): LevelRow[] {
  const { emitter, overflowTrench: trench } = site;
  if (emitter === null || trench === null) return [];
  const ground = emitter.dischargesTo === null ? trench.ground.low : null;
  const row = (name: string, level: number): LevelRow =>
    ({ station: "emitter", name, level, depth: ground === null ? null : ground - level, along: null });
  return [
    row("lid opens", emitter.opensAt), row("crest", emitter.crest),
    ...(emitter.weepHole === null ? [] : [row("weep hole", emitter.weepHole.elevation)]),
  ];
}

/** The hollow is the ground; its grate opens into the pit under it. */
function lowSpotRows({ lowSpot }: Site): LevelRow[] {
  if (lowSpot === null) return [];
  const row = (name: string, level: number): LevelRow => ({ station: "low spot", name, level, depth: null, along: null });
  return [
    row("lip", lowSpot.lip), ...(lowSpot.grate === null ? [] : [row("grate", lowSpot.grate.level)]), row("floor", lowSpot.floor),
  ];
}

function along({ invert, outletInvert, length }: Pipe, from: string): LevelRun {
  const fall = invert - outletInvert;
  return { from, length, fall, slope: length > 0 ? fall / length : null };
}
