// What the TypeScript side may call.
export {
  backOf, begin, byFromOf, byToOf, enteredOf, flowOf, forthOf, inflowOf, isOpen, levelOf, levelSlopeOf, lookAtBody, reserve, rateOf, setBody, setEmitter, setKeeps, setLid, setMode, setMound,
  setPassage, setValue, topOf, topTimeOf, valueOf,
} from "./works";
export { join } from "./tree";
export { lookAtPassage } from "./water";
export {
  drive, evaluations, firings, firingPeak, firingStart, firingVolume, look, march, rejections, resetPeaks, rows, setRoom, start,
  steps, time, wish,
} from "./march";
