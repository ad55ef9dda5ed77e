// The third door, "soakstep/node": files, threads, many lots and machines, figures in a notebook. What needs Node is here alone.
export { loadJson } from "./node/loadJson.ts";
export { readRainFile } from "./node/readRainFile.ts";
export { plotlySource } from "./node/plotlySource.ts";
export { show, type PlotlyFigure } from "./node/plotInNotebook.ts";
export { fillStudyFile, runStudyInto } from "./node/runStudyInto.ts";
export { studyFile } from "./node/studyFile.ts";
export { UserFault } from "./node/userFault.ts";
export { threadPool, type ThreadPool } from "./node/threadPool.ts";

// Many lots: the works of a pattern, each with its own values
export { lotPattern, type LotPattern } from "./study/lotSite.ts";
export { lotTable, type Lot, type LotTable } from "./study/lotTable.ts";
export { lotResults, type LotResult } from "./study/lotResults.ts";

// Many rows, many machines
export { mergeRows } from "./node/mergeRows.ts";
export { queuePool, type QueuePool } from "./node/queuePool.ts";
export { workOn, type WorkOptions } from "./node/workOn.ts";
export { objectStore, type ObjectStore } from "./node/objectStore.ts";
export { parquetParts, type PartColumn } from "./node/parquetParts.ts";
export { rowQuery, type RowQuery } from "./node/rowQuery.ts";
