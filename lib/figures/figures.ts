// Every picture that a program can make, by its name: `figures.level(run)`.

export { levelFigure as level } from "./levelFigure.ts";
export { sectionFigure as section } from "./sectionFigure.ts";
export { flowFigure as flow } from "./flowFigure.ts";
export { ledgerFigure as ledger } from "./ledgerFigure.ts";
export { headBudgetFigure as headBudget } from "./headBudgetFigure.ts";
export { sideBySideFigure as sideBySide } from "./sideBySideFigure.ts";
export { storageFigure as storage } from "./storageFigure.ts";
export { sitePlanFigure as sitePlan } from "./sitePlanFigure.ts";
export { placementFigure as placement } from "./placementFigure.ts";
export { soilTestFigure as soilTest } from "./soilTestFigure.ts";
export { yearsFigure as years } from "./yearsFigure.ts";
export { sweepCurveFigure as sweepCurve } from "./sweepCurveFigure.ts";
export { sweepFigure as sweep } from "./sweepFigure.ts";
export { frontFigure as front } from "./frontFigure.ts";
export { sizeFigure as size } from "./sizeFigure.ts";
export { fanFigure as fan } from "./fanFigure.ts";
export { swingFigure as swing } from "./swingFigure.ts";
export { exceedanceFigure as exceedance } from "./exceedanceFigure.ts";
export { fillTestFigure as fillTest } from "./fillTestFigure.ts";
export { failedPitFigure as failedPit } from "./failedPitFigure.ts";
export { pitLifeFigure as pitLife } from "./pitLifeFigure.ts";
export { seasonFigure as season } from "./seasonFigure.ts";
