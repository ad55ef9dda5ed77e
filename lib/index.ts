// Text and numbers
export { InputError, type Problem } from "./units/problem.ts";
export { quantity, type Dimension } from "./units/quantity.ts";
export {
  areaText, depthText, displayUnits, durationText, flowText, intensityText, lengthText, levelText, volumeText, type UnitSystem,
} from "./units/format.ts";
export { staffText } from "./units/staffText.ts";
export { massText, readMass } from "./units/mass.ts";
export { bulkText, sheetText } from "./units/bulkText.ts";
export { sizeText } from "./units/sizeText.ts";

// Rain
export { hyetograph, type Hyetograph } from "./rain/hyetograph.ts";
export { cumulativeDepth } from "./rain/cumulativeDepth.ts";
export { splitEvery } from "./rain/splitEvery.ts";
export { designStorm, type DesignStormOptions, type PatternName } from "./rain/designStorm.ts";
export { depthDuration, type DepthDuration, type Rainfall, type RainfallChoice } from "./rain/depthDuration.ts";
export type { RainfallSeries, RainfallTable } from "./rain/tableDepth.ts";
export type { RainfallEquation } from "./rain/equationDepth.ts";
export type { UkRainfall } from "./rain/ukDepth.ts";
export { frequencyCsv, type FrequencyTables } from "./rain/frequencyCsv.ts";
export { gumbelFit, type AnnualMaxima, type GumbelFit } from "./rain/gumbelFit.ts";
export { readRain, type RainRecord } from "./rain/readRain.ts";
export type { RecordOptions } from "./rain/recordOptions.ts";
export type { LineNote } from "./rain/lineReport.ts";
export { separateStorms, type StormSpan } from "./rain/separateStorms.ts";
export { stormEvents, type StormEvent } from "./rain/stormEvents.ts";
export { greatestDepth } from "./rain/greatestDepth.ts";
export { climateOf, stochasticRain, type Climate } from "./rain/stochasticRain.ts";
export { placeRain, type PlaceRainOptions } from "./rain/placeRain.ts";
export { rainFrequency, type RainFrequency } from "./rain/rainFrequency.ts";
export { rainBetween } from "./rain/rainBetween.ts";
export { snowmelt, type Snowmelt, type SnowmeltOptions } from "./rain/snowmelt.ts";

// Runoff
export { hydrograph, type Hydrograph } from "./runoff/hydrograph.ts";
export { hydrographVolume } from "./runoff/hydrographVolume.ts";
export { inflowHydrographs, type InflowOptions } from "./runoff/inflowHydrographs.ts";
export type { LossModel } from "./runoff/lossModel.ts";
export { initialLoss } from "./runoff/initialLoss.ts";
export { continuingLoss, proportionalLoss } from "./runoff/continuingLoss.ts";
export { compositeCurveNumber, curveNumberLoss, curveNumberRunoff, type CurveNumber } from "./runoff/curveNumber.ts";
export { greenAmptInfiltration, greenAmptLoss, type GreenAmptGround } from "./runoff/greenAmpt.ts";
export { areaWeighted, compositeLoss } from "./runoff/compositeLoss.ts";
export { eachStorm, inTurn } from "./runoff/eachStorm.ts";
export { timeAreaHydrograph, type TimeAreaCurve } from "./runoff/timeArea.ts";
export { respond, type UnitResponse } from "./runoff/unitResponse.ts";
export { gammaExponent, unitHydrograph } from "./runoff/unitHydrograph.ts";
export { reservoirCascade } from "./runoff/reservoirCascade.ts";
export { lagTimeOfConcentration, timeOfConcentration, type FlowReach } from "./runoff/timeOfConcentration.ts";
export { modifiedRational, triangleStorage, type ModifiedRational } from "./runoff/modifiedRational.ts";
export { graphicalPeak, type NrcsPattern } from "./runoff/graphicalPeak.ts";
export { detentionStorage } from "./runoff/detentionStorage.ts";
export { roofPlanArea, type RoofShape } from "./runoff/roofPlanArea.ts";
export { capFlow, pipeCapacity, type CappedFlow } from "./runoff/capFlow.ts";

// Ground
export { usedConductivity, type ConductivityFrom } from "./ground/usedConductivity.ts";
export { percolationHole, type PercolationHoleOptions } from "./ground/percolationHole.ts";
export { trialPit, type TrialPitOptions, type TrialPitResult } from "./ground/trialPit.ts";
export { boreholeTest, type BoreholeTestOptions } from "./ground/boreholeTest.ts";
export { constantHeadTest, type ConstantHeadResult, type ConstantHeadTestOptions } from "./ground/constantHeadTest.ts";
export { elrickConductivity, gloverConductivity } from "./ground/constantHeadLaw.ts";
export { soilTest, type SoilTest } from "./ground/soilTest.ts";
export type { FallingHeadResult, FillResult, PercolationHoleResult, SoilTestResult } from "./ground/soilTestResult.ts";
export type { FillReadings } from "./ground/fillReader.ts";
export { WITHIN_SITE_FACTOR, withinSiteBand, type Band } from "./ground/withinSiteBand.ts";
export { soilTexture, textureNames, type SoilTexture, type TextureName } from "./ground/soilTexture.ts";
export { hydrologicSoilGroup, type HydrologicSoilGroup } from "./ground/hydrologicSoilGroup.ts";
export { capillaryRise, poreRise, wickingShare, type CapillarySediment } from "./ground/capillaryRise.ts";
export { moundRise, moundRiseLinear, type MoundRiseOptions } from "./ground/moundRise.ts";
export { moundResponse } from "./ground/moundResponse.ts";
export { moundModes, type MoundModes, type MoundModesOptions } from "./ground/moundModes.ts";
export { moundConvolution, type MoundConvolutionOptions } from "./ground/moundConvolution.ts";
export type { MoundPit, MoundPoint } from "./ground/moundPit.ts";
export { moundLimit, type MoundLimit } from "./ground/moundLimit.ts";
export { waterAtWall, type WaterAtWall } from "./ground/waterAtWall.ts";
export { separation } from "./ground/separation.ts";
export { frostDepth, type FrozenGround } from "./ground/frostDepth.ts";
export { cakeShare, type FloorCake } from "./ground/cakeShare.ts";
export { cloggingNote } from "./ground/clogging.ts";
export { waterViscosityRatio } from "./ground/waterViscosity.ts";

// Works
export { segmentArea, segmentAreaIntegral, segmentWidth } from "./works/circle.ts";
export { basinArea, basinCapture, idealCapture, type SettlingBasin } from "./works/basinCapture.ts";
export { sumpFilling, type FillingSump } from "./works/sumpFilling.ts";
export { settlingVelocity, type SettlingGrain } from "./works/settlingVelocity.ts";

// Site
export { readSite } from "./site/readSite.ts";
export type { Site } from "./site/site.ts";
export { levelList, type LevelList, type LevelListOptions, type StaffRow } from "./site/levelList.ts";
export type { LevelRow } from "./site/levelRows.ts";
export { takeOff, type TakeOff } from "./site/takeOff.ts";
export { digRules, type DigRule } from "./site/digRules.ts";
export { materialFigures, materialPractice, type AssumedFigure } from "./site/materialFigures.ts";
export type { Materials } from "./site/materials.ts";
export { positiveMean } from "./site/positiveMean.ts";
export { siting, siteRules, type DepthRow, type SetbackRow, type Siting, type SitingOptions, type SitingRow } from "./site/siting.ts";
export { setbackRules, type RuleFrom, type RuleStatus, type SetbackRule } from "./site/setbackRules.ts";
export { regionTaken, type RegionCode, type RegionTaken } from "./site/region.ts";
export { roomLeft, type RoomLeft } from "./site/roomLeft.ts";
export { featureKinds, type Feature, type FeatureKind, type Surroundings } from "./site/surroundings.ts";
export { SiteError } from "./site/siteError.ts";
export { shownIn } from "./site/shownIn.ts";
export { siteSchema } from "./site/siteSchema.ts";

// Simulation
export { toldFirings, type ToldFiring } from "./simulate/firings.ts";
export type { BodyKind, Firing, Ledger, Run, RunBody, RunEvent } from "./simulate/run.ts";
export type { Load } from "./simulate/bodyInflows.ts";
export type { SimulateOptions } from "./simulate/runOptions.ts";
export { settledRun, settleTime } from "./simulate/settledRun.ts";
export { simulate, StoppedRun } from "./simulate/simulate.ts";
export { simulateRecord, type RecordRun, type RecordRunOptions, type RecordStorm } from "./simulate/simulateRecord.ts";
export { variedSite, type Variation } from "./simulate/variedSite.ts";

// Answers of a site and of a run
export { exits, exitsReached, firstExit, type Exit, type ExitKind, type ExitReached } from "./simulate/exits.ts";
export { waysOut, type WayOut } from "./simulate/waysOut.ts";
export { drainTime, type DrainTime } from "./simulate/drainTime.ts";
export { breakEvenRain, rainToFill, type RainToFill } from "./simulate/rainToFill.ts";
export { readiness, type Readiness } from "./simulate/readiness.ts";
export { headBudget, type HeadBudget, type HeadLoss, type HeadPart, type HeadPlace } from "./simulate/headBudget.ts";
export { oneLevel, type LevelDifference, type OneLevel } from "./simulate/oneLevel.ts";

// Studies of many runs
export { failedPit, type FailedPit, type RankedCause } from "./study/failedPit.ts";
export type { FailedPitOptions } from "./study/pitLog.ts";
export { fillTest, type FillTestOptions, type FillTestResult, type FittedNumber } from "./study/fillTest.ts";
export { fillSheet, type FillSheet } from "./study/fillSheet.ts";
export type { Dip, Dips, DipsGiven } from "./study/dips.ts";
export { years, type Course, type Years, type YearsOptions, type YearState } from "./study/years.ts";
export { sweep, type Critical, type CriticalAnswer, type Sweep, type SweepCell, type SweepRow, type SweptDesign } from "./study/sweep.ts";
export { thatDay, type DayCase, type ThatDay, type ThatDayOptions } from "./study/thatDay.ts";
export { clockTime, type ClockTime, type RunClock } from "./units/clockText.ts";
export { stormAdvice, type StormAdvice } from "./study/stormAdvice.ts";
export type { SweepOptions } from "./study/sweepCases.ts";
export { size, type Binding, type RuleOfThumb, type SizedDesign, type Sizing } from "./study/size.ts";
export type { Criterion, WrittenCriterion } from "./study/criteria.ts";
export type { SizeOptions } from "./study/sizeCases.ts";
export { resized, type Sizes } from "./study/resized.ts";
export { howSure, type HowSure, type Quantiles, type SureOptions, type Swing } from "./study/howSure.ts";
export { often, type HowOften } from "./study/often.ts";
export type { Exceeded } from "./study/exceeded.ts";
export type { Banded } from "./study/onceIn.ts";
export type { RainTold } from "./study/rainTold.ts";
export type { OftenOptions } from "./study/oftenCases.ts";
export { ensemble } from "./study/ensemble.ts";
export type { Doubts, EnsembleOptions } from "./study/ensembleCases.ts";
export { columnOf, makeStudy, runStudy, type Rows, type RowStore, type StudyOptions, type StudyPool, type StudyTable } from "./study/runStudy.ts";
export type { Study } from "./study/study.ts";
export type { Column } from "./study/cases.ts";
export { ANSWERS, type AnswerName } from "./study/answerRow.ts";
export { quantiles, shareOf, stoppedRuns, type Share } from "./study/quantiles.ts";

// Study: soil and place
export { runSoilBand, type SoilBandRuns } from "./study/runSoilBand.ts";
export { pathBand, type PathCase } from "./study/pathBand.ts";
export { sidesOnly, type SidesOnly } from "./study/sidesOnly.ts";
export { freeVolumeAt } from "./study/freeVolumeAt.ts";
export { placement, type Drowned, type Placement, type Position } from "./study/placement.ts";
export { wallWater, type WallOptions, type WallWater } from "./study/wallWater.ts";
export { soilTestFigure, type SoilTestFigureOptions } from "./figures/soilTestFigure.ts";
export { placementFigure } from "./figures/placementFigure.ts";

// Pictures and pages
export type { Figure } from "./figures/figure.ts";
export { levelFigure, type FigureOptions } from "./figures/levelFigure.ts";
export { flowFigure } from "./figures/flowFigure.ts";
export { headBudgetFigure } from "./figures/headBudgetFigure.ts";
export { sideBySideFigure, type NamedRun } from "./figures/sideBySideFigure.ts";
export { sectionFigure } from "./figures/sectionFigure.ts";
export { sitePlanFigure } from "./figures/sitePlanFigure.ts";
export { storageFigure } from "./figures/storageFigure.ts";
export { ledgerFigure } from "./figures/ledgerFigure.ts";
export { failedPitFigure } from "./figures/failedPitFigure.ts";
export { fillTestFigure } from "./figures/fillTestFigure.ts";
export { yearsFigure } from "./figures/yearsFigure.ts";
export { sweepFigure } from "./figures/sweepFigure.ts";
export { sizeFigure } from "./figures/sizeFigure.ts";
export { fanFigure } from "./figures/fanFigure.ts";
export { swingFigure } from "./figures/swingFigure.ts";
export { exceedanceFigure } from "./figures/exceedanceFigure.ts";
export { answerSentence } from "./figures/answer.ts";
export type { StormRun } from "./report/summary.ts";
export { report } from "./report/report.ts";
export { table } from "./report/table.ts";
