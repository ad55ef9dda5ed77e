export { loadJson } from "./node/loadJson.ts";
export { readRainFile } from "./node/readRainFile.ts";
export { show, type PlotlyFigure } from "./node/plotInNotebook.ts";
export { fillStudyFile, runStudyInto } from "./node/runStudyInto.ts";
export { studyFile } from "./node/studyFile.ts";
export { threadPool, type ThreadPool } from "./node/threadPool.ts";
