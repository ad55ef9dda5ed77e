// The third door, "soakstep/yards": yards that are told on their lawn, yards whose pits are measured, and many lots at once.
// Nothing from Node.

// A yard that was told on a lawn: levels out of readings, works between them, first answers
export { levellingBook, type LevellingBook, type WrittenBook } from "./plan/levellingBook.ts";
export { typedQuantity, type Typed, type TypedField } from "./text/typedQuantity.ts";
export { answersOf, readAnswers, type Answers, type AnswersRead } from "./yard/questions.ts";
export { yardOf, type Told, type Yard } from "./yard/yard.ts";
export { proposeWorks, type Proposal, type WorksProposed } from "./yard/proposeWorks.ts";
export { feasibleLevels, type FeasibleLevels, type GroundTold, type Missed, type Remedy } from "./yard/feasibleLevels.ts";
export { firstAnswers, type FirstAnswer, type FirstAnswers } from "./yard/firstAnswers.ts";
export { holeVerdict, type HoleVerdict } from "./yard/holeVerdict.ts";
export { checkFile, type CheckedFile } from "./yard/checkFile.ts";
export { fileText } from "./yard/fileKeys.ts";
export type { Survey } from "./site/surveyField.ts";

// What was measured: after filling, of a pit that fails, of a year
export { fillTest, type FillTestOptions, type FillTestResult, type FittedNumber } from "./dips/fillTest.ts";
export { failedPit, type FailedPit, type RankedCause } from "./dips/failedPit.ts";
export type { FailedPitOptions } from "./dips/pitLog.ts";
export { asBuilt, type AsBuiltResult, type BuiltEntry } from "./dips/asBuilt.ts";
export { pitLife, type PitLife, type LifePoint, type LifeEvent } from "./dips/pitLife.ts";
export { season, type Season, type SeasonNumber, type SeasonOptions } from "./dips/season.ts";
export type { Dip, Dips, DipsGiven } from "./dips/dips.ts";
export { fillTestFigure } from "./figures/fillTestFigure.ts";
export { failedPitFigure } from "./figures/failedPitFigure.ts";
export { pitLifeFigure } from "./figures/pitLifeFigure.ts";
export { seasonFigure } from "./figures/seasonFigure.ts";

// Many lots: the works of a pattern, each with its own values
export { lotPattern, lotSite, type LotPattern } from "./study/lotSite.ts";
export { lotTable, type Lot, type LotTable } from "./study/lotTable.ts";
export { lotResults, type LotResult } from "./study/lotResults.ts";
export { gutters, neighbourRises, type Gutter, type NeighbourRise, type StreetPit } from "./study/streets.ts";
