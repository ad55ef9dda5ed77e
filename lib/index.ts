// The front door, "soakstep": nothing from Node. Formulas by themselves: "soakstep/hydrology"; files, threads, many lots: "soakstep/node".

// A site file, read and checked
export { readSite } from "./site/readSite.ts";
export type { Site } from "./site/site.ts";
export { SiteError } from "./site/readSite.ts";
export { shownIn } from "./site/shownIn.ts";
export { variedSite, type Variation } from "./simulate/variedSite.ts";
export { InputError, type ProblemCode, type ToldProblem as Problem } from "./text/problem.ts";

// Rain and water that come to it
export { designStorm, type DesignStormOptions, type PatternName } from "./rain/storms/designStorm.ts";
export type { Rainfall, RainfallChoice } from "./rain/storms/depthDuration.ts";
export type { RainfallTable, RainfallSeries } from "./rain/storms/tableDepth.ts";
export type { RainfallEquation } from "./rain/storms/equationDepth.ts";
export type { UkRainfall } from "./rain/storms/ukDepth.ts";
export { hyetograph, type Hyetograph } from "./rain/hyetograph.ts";
export type { RainRecord } from "./rain/record/readRain.ts";
export type { RecordOptions } from "./rain/record/recordOptions.ts";
export type { LineNote } from "./rain/record/lineReport.ts";
export { stochasticRain, type Climate } from "./rain/storms/stochasticRain.ts";
export { hydrograph, type Hydrograph } from "./runoff/hydrograph.ts";
export { inflowHydrographs, type InflowOptions } from "./simulate/inflowHydrographs.ts";

// A run: levels, flows, firings, the ledger
export { simulate } from "./simulate/simulate.ts";
export { StoppedRun } from "./simulate/stoppedRun.ts";
export type { SimulateOptions } from "./simulate/runOptions.ts";
export type { Load } from "./simulate/bodyInflows.ts";
export type { Run, RunBody, RunEvent, BodyKind, Firing, Ledger } from "./simulate/run.ts";
export { simulateRecord, type RecordRun, type RecordRunOptions, type RecordStorm } from "./simulate/simulateRecord.ts";

// Answers of a site and of a run
export { answerSentence } from "./figures/answer.ts";
export { exits, exitsReached, firstExit, type Exit, type ExitKind, type ExitReached } from "./simulate/exits.ts";
export { waysOut, type WayOut } from "./simulate/waysOut.ts";
export { breakEvenRain, rainToFill, type RainToFill } from "./simulate/rainToFill.ts";
export { readiness, type Readiness } from "./simulate/readiness.ts";
export { headBudget, type HeadBudget, type HeadLoss, type HeadPart, type HeadPlace } from "./simulate/headBudget.ts";
export { oneLevel, type LevelDifference, type OneLevel } from "./simulate/oneLevel.ts";
export { freeVolumeAt } from "./study/freeVolumeAt.ts";
export { wallWater, type WallOptions, type WallWater } from "./study/wallWater.ts";

// The lot: levels to set out, distances, what to dig and to order
export { levelList, type LevelList, type LevelListOptions, type StaffRow } from "./plan/levelList.ts";
export type { LevelRow } from "./plan/levelRows.ts";
export { siting, type DepthRow, type SetbackRow, type Siting, type SitingOptions, type SitingRow } from "./plan/siting.ts";
export type { RegionTaken, RegionCode } from "./site/region.ts";
export { roomLeft, type RoomLeft } from "./plan/roomLeft.ts";
export type { Feature, FeatureKind, RuleFrom, RuleStatus, SetbackRule, Surroundings } from "./site/surroundings.ts";
export { costOf, type Cost } from "./plan/cost.ts";
export { takeOff, type TakeOff } from "./plan/takeOff.ts";
export type { Prices } from "./site/prices.ts";
export type { AssumedFigure } from "./site/materials.ts";
export type { Materials } from "./site/materials.ts";

// The soil: tests, and how far one place of a lot speaks for the rest
export type { SoilTest } from "./ground/test/soilTest.ts";
export type { SoilTestResult, FallingHeadResult, FillResult, PercolationHoleResult } from "./ground/test/soilTestResult.ts";
export type { ConstantHeadResult } from "./ground/test/constantHeadTest.ts";
export type { FillReadings } from "./ground/test/fillReader.ts";
export type { Band } from "./ground/test/withinSiteBand.ts";
export { runSoilBand, type SoilBandRuns } from "./study/runSoilBand.ts";

// A yard described on its lawn: levels from readings, works between them, first answers
export { levellingBook, type LevellingBook, type WrittenBook } from "./plan/levellingBook.ts";
export { readAnswers, type Answers, type AnswersRead } from "./yard/questions.ts";
export { yardOf, type Told, type Yard } from "./yard/yard.ts";
export { proposeWorks, type Proposal, type WorksProposed } from "./yard/proposeWorks.ts";
export type { FeasibleLevels, GroundTold, Missed, Remedy } from "./yard/feasibleLevels.ts";
export { firstAnswers, type FirstAnswer, type FirstAnswers } from "./yard/firstAnswers.ts";
export { holeVerdict, type HoleVerdict } from "./yard/holeVerdict.ts";
export { typedQuantity, type Typed, type TypedField } from "./text/typedQuantity.ts";
export { checkFile, type CheckedFile } from "./yard/checkFile.ts";
export type { Survey } from "./site/surveyField.ts";

// What was measured: after filling, of a pit that fails, of a season, over the years
export { fillTest, type FillTestOptions, type FillTestResult, type FittedNumber } from "./dips/fillTest.ts";
export { asBuilt, type AsBuiltResult, type BuiltEntry } from "./dips/asBuilt.ts";
export { failedPit, type FailedPit, type RankedCause } from "./dips/failedPit.ts";
export type { FailedPitOptions } from "./dips/pitLog.ts";
export { season, type Season, type SeasonNumber, type SeasonOptions } from "./dips/season.ts";
export { pitLife, type PitLife, type LifePoint, type LifeEvent } from "./dips/pitLife.ts";
export type { Dip, Dips, DipsGiven } from "./dips/dips.ts";

// Studies of many runs
export { size, type Sizing, type SizedDesign, type Binding, type RuleOfThumb } from "./study/size.ts";
export type { Limit } from "./study/size.ts";
export type { SizeOptions } from "./study/sizeCases.ts";
export type { Fit, Held } from "./study/fit.ts";
export { sizedText } from "./study/sizedText.ts";
export {
  compare, type CompareOptions, type ComparedStorm, type Comparison, type Difference, type FileDifference, type Spread90,
    type StormCompared,
} from "./study/compare.ts";
export type { Sizes } from "./study/resized.ts";
export type { Criterion, WrittenCriterion } from "./study/criteria.ts";
export { sweep, type Sweep, type SweepCell, type SweepRow, type SweptDesign, type Critical, type CriticalAnswer } from "./study/sweep.ts";
export type { SweepOptions } from "./study/sweepCases.ts";
export type { StormAdvice } from "./study/stormAdvice.ts";
export { howSure, type SureOptions, type HowSure, type Quantiles, type Swing, type Worth } from "./study/howSure.ts";
export type { Doubts, EnsembleOptions } from "./study/ensembleCases.ts";
export { often, type HowOften } from "./study/often.ts";
export type { OftenOptions } from "./study/oftenCases.ts";
export type { Exceeded } from "./study/exceeded.ts";
export type { Banded } from "./study/onceIn.ts";
export type { RainTold } from "./study/rainTold.ts";
export { thatDay, type ThatDayOptions, type ThatDay, type DayCase } from "./study/thatDay.ts";
export type { RunClock, ClockTime } from "./text/clockText.ts";
export { years, type YearsOptions, type Years, type YearState, type Course } from "./upkeep/years.ts";
export { placement, type Placement, type Position, type Drowned } from "./study/placement.ts";
export { sidesOnly, type SidesOnly } from "./study/sidesOnly.ts";
export { ensemble } from "./study/ensemble.ts";
export { columnOf, type StudyOptions, type StudyPool, type StudyTable, type RowStore, type Rows } from "./study/runStudy.ts";
export type { Study } from "./study/study.ts";
export type { Column } from "./study/cases.ts";
export type { AnswerName } from "./study/answerRow.ts";
export type { Share } from "./study/quantiles.ts";

// Pictures and pages: `figures.level(run)`, and all other pictures by their names
import * as figures from "./figures/figures.ts";
export { figures };
export type { FigureOptions } from "./figures/levelFigure.ts";
export type { Figure } from "./figures/figure.ts";
export type { NamedRun } from "./figures/sideBySideFigure.ts";
export type { SoilTestFigureOptions } from "./figures/soilTestFigure.ts";
export { figureSvg } from "./figures/svg/figureSvg.ts";
export { sitePage } from "./report/sitePage.ts";
export type { StormRun } from "./report/summary.ts";

// Numbers in quotes, and back
export { quantity, type Dimension } from "./text/quantity.ts";
export { intensityText, volumeText, type UnitSystem } from "./text/format.ts";
export { bulkText } from "./text/format.ts";
export { staffText } from "./text/staffText.ts";

// Formulas of the trade; "soakstep/hydrology" has these and many more
export { curveNumberRunoff, type CurveNumber } from "./runoff/curveNumber.ts";
export { greenAmptInfiltration, type GreenAmptGround } from "./runoff/greenAmpt.ts";
export { percolationHole, type PercolationHoleOptions } from "./ground/test/percolationHole.ts";
export { trialPit, type TrialPitOptions, type TrialPitResult } from "./ground/test/trialPit.ts";
export { moundRise, moundRiseLinear, type MoundRiseOptions } from "./ground/mound/moundRise.ts";
export { settlingVelocity, type SettlingGrain } from "./works/settlingVelocity.ts";
