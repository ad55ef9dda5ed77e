import type { EditKey } from "./liveState.ts";

/** What a knob pulls: a change of the site file, the hour that is looked at, or the works on the slope of the lesson. */
export type HandleKey = EditKey | "hour" | "place";

/**
 * Something on a picture that can be pulled, as plain data: what it says, where it sits, and what each way of moving it makes
 * of it. Every way ends in a text such as a person would type, `3.4 in`.
 */
export interface Handle {
  readonly key: HandleKey;
  /** what it is, for readers who cannot see the picture */
  readonly name: string;
  /** what stands beside the knob */
  readonly words: string;
  readonly color: string;
  /** the knob's middle [px of the picture], and on which side of it the words stand */
  readonly x: number;
  readonly y: number;
  readonly side: "left" | "right" | "below" | "around";
  /** the way it is pulled */
  readonly along: "up" | "across";
  /** where it stands between its ends, in any one unit, and in words */
  readonly value: number;
  readonly least: number;
  readonly most: number;
  readonly spoken: string;
  /** the text a person finds when typing a value */
  readonly typed: string;
  /** takes hold of it: what a pull so far to the right and down makes of it [px] */
  readonly grab: () => (right: number, down: number) => string;
  /** some steps up (or down, where negative), or to one of its ends */
  readonly step: (steps: number, large: boolean) => string;
  readonly ends: readonly [first: string, last: string];
}
