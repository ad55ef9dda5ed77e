export { loadJson } from "./node/loadJson.ts";
export { readRainFile } from "./node/readRainFile.ts";
export { show, type PlotlyFigure } from "./node/plotInNotebook.ts";
