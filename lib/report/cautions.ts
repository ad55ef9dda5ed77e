/** A caution: what it is about, and what to do. */
export interface Caution {
  readonly about: string;
  readonly words: string;
}

/** What has to be said to whoever digs, in the order in which it matters on the day; common practice. */
export const cautions: readonly Caution[] = Object.freeze([
  { about: "Buried lines", words: "Call before you dig (811 in the United States, the local service elsewhere) and wait until gas, power, water and data lines are marked." },
  { about: "Pits", words: "Nobody enters an unshored pit. Walls give way without warning: from 5 ft (1.5 m) on, and in loose, wet or once-dug ground at any depth, shore them or slope them back, and have somebody competent look at them every day and after rain." },
  { about: "Spoil", words: "Keep spoil, stone and machines 2 ft (0.6 m) or more from the edge; cover or fence an open pit overnight." },
  { about: "Slopes", words: "Water put into a slope comes out lower down, and can set the slope moving. On or above one, ask a geotechnical engineer first." },
  { about: "Contaminated or made ground", words: "Do not soak water into fill, or into ground that may be contaminated: it settles, and the water carries away what is in it." },
  { about: "Wells, septic fields and foundations", words: "Keep the distances that local code asks for. Water at a foundation does more harm than water on a lawn." },
  { about: "The soil", words: "No figure is known so badly as the soil's conductivity. Measure it at the depth and the place of the pit, in the wet season, before you dig, and again in the open pit." },
  { about: "Who decides", words: "Local code and licensed practice decide, not this report: permits, storms to design for, distances, and whether somebody has to sign." },
].map((caution) => Object.freeze(caution)));

/** What the numbers of a run are not. */
export const limits: readonly string[] = Object.freeze([
  "Real storms are not the design storms, and the next one may be larger than any here.",
  "The soil is taken as layers that are everywhere alike, draining freely at unit gradient unless groundwater is near; suction is left out. Its conductivity is rarely known to better than a factor of three, and every time to empty goes with it.",
  "Silt, roots and years make soil and stone slower. In the runs of storms only the factor of safety stands for that; floors sealed by silt and the years are told apart.",
  "All chambers and their stone are taken to stand at one level, pipes to be clean, and the emitter's lid to open and close at its two heads.",
  "The number of openings says little: it hangs on the lid's two heads. Volume and time are what to go by.",
  "Water that comes out over a rim or up through the ground is counted and not followed further.",
  "Groundwater is where the site file puts it. If that is a guess, so is the time to empty.",
]);
