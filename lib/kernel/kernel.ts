// What the TypeScript side may call. To be read in this order, beside the model: body (section 1), passage and laws (2, 3, 7), works (what is
// loaded), water (V' = inflow - outflows), tree (its linear equations), rodas4p2 (a step), clock, corners, lid and march (4).
export {
  backOf, begin, byFromOf, byToOf, enteredOf, flowOf, forthOf, inflowOf, isOpen, levelOf, levelSlopeOf, lookAtBody, rateOf, reserve, setBody,
  setEmitter, setKeeps, setLid, setMode, setMound, setPassage, setValue, topOf, topTimeOf, valueOf,
} from "./works";
export { join } from "./tree";
export { lookAtPassage } from "./water";
export { evaluations, time } from "./clock";
export { firings, firingPeak, firingStart, firingVolume } from "./lid";
export { drive, look, march, rejections, resetPeaks, rows, setRoom, start, steps, wish } from "./march";
