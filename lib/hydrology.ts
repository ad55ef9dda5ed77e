// The second door, "soakstep/hydrology": the formulas of rain, runoff, ground and settling by themselves. SI numbers in and out, but for
// options in quotes, which carry their unit. Nothing from Node.

// Rain: depths of a place, storms of a record, invented years
export type { Hyetograph } from "./rain/hyetograph.ts";
export { cumulativeDepth } from "./rain/cumulativeDepth.ts";
export { splitEvery } from "./rain/splitEvery.ts";
export { depthDuration, type DepthDuration, type Rainfall, type RainfallChoice } from "./rain/storms/depthDuration.ts";
export type { RainfallTable, RainfallSeries } from "./rain/storms/tableDepth.ts";
export type { RainfallEquation } from "./rain/storms/equationDepth.ts";
export type { UkRainfall } from "./rain/storms/ukDepth.ts";
export { frequencyCsv, type FrequencyTables } from "./rain/storms/frequencyCsv.ts";
export { frequencyGrid, type GridFile } from "./rain/storms/frequencyGrid.ts";
export { gumbelFit, type AnnualMaxima, type GumbelFit } from "./rain/storms/gumbelFit.ts";
export { readRain, type RainRecord } from "./rain/record/readRain.ts";
export type { RecordOptions } from "./rain/record/recordOptions.ts";
export { separateStorms, type StormSpan } from "./rain/separateStorms.ts";
export { stormEvents, type StormEvent } from "./rain/stormEvents.ts";
export { greatestDepth } from "./rain/storms/greatestDepth.ts";
export { rainBetween } from "./rain/rainBetween.ts";
export { rainFrequency, type RainFrequency } from "./rain/storms/rainFrequency.ts";
export { climateOf, stochasticRain, type Climate } from "./rain/storms/stochasticRain.ts";
export { placeRain, type PlaceRainOptions } from "./rain/storms/placeRain.ts";
export { snowmelt, type Snowmelt, type SnowmeltOptions } from "./rain/snowmelt.ts";

// Losses
export type { LossModel } from "./runoff/lossModel.ts";
export { initialLoss } from "./runoff/initialLoss.ts";
export { continuingLoss, proportionalLoss } from "./runoff/continuingLoss.ts";
export { curveNumberRunoff, curveNumberLoss, compositeCurveNumber, type CurveNumber } from "./runoff/curveNumber.ts";
export { fanHalfWidth, type FanOptions, sheetFlow, type SheetFlow, type SheetOptions } from "./runoff/sheetFlow.ts";
export { greenAmptInfiltration, greenAmptLoss, type GreenAmptGround } from "./runoff/greenAmpt.ts";
export { areaWeighted, compositeLoss } from "./runoff/compositeLoss.ts";
export { eachStorm, inTurn } from "./runoff/eachStorm.ts";

// Hydrographs, peaks and storage
export type { Hydrograph } from "./runoff/hydrograph.ts";
export { hydrographVolume } from "./runoff/hydrographVolume.ts";
export { timeAreaHydrograph, type TimeAreaCurve } from "./runoff/timeArea.ts";
export { unitHydrograph, gammaExponent } from "./runoff/unitHydrograph.ts";
export { respond, type UnitResponse } from "./runoff/unitResponse.ts";
export { reservoirCascade } from "./runoff/reservoirCascade.ts";
export { timeOfConcentration, lagTimeOfConcentration, type FlowReach } from "./runoff/timeOfConcentration.ts";
export { modifiedRational, triangleStorage, type ModifiedRational } from "./runoff/modifiedRational.ts";
export { graphicalPeak, type NrcsPattern } from "./runoff/graphicalPeak.ts";
export { detentionStorage } from "./runoff/detentionStorage.ts";
export { roofPlanArea, type RoofShape } from "./runoff/roofPlanArea.ts";
export { capFlow, pipeCapacity, type CappedFlow } from "./runoff/capFlow.ts";

// Soil: from a test to a conductivity
export { soilTest, type SoilTest } from "./ground/test/soilTest.ts";
export type { SoilTestResult, FallingHeadResult, FillResult, PercolationHoleResult } from "./ground/test/soilTestResult.ts";
export type { FillReadings } from "./ground/test/fillReader.ts";
export { usedConductivity, type ConductivityFrom } from "./ground/test/usedConductivity.ts";
export { combinedHoles, type CombinedHoles, type HoleSays } from "./ground/test/combinedHoles.ts";
export { percolationHole, type PercolationHoleOptions } from "./ground/test/percolationHole.ts";
export { trialPit, type TrialPitOptions, type TrialPitResult } from "./ground/test/trialPit.ts";
export { boreholeTest, type BoreholeTestOptions } from "./ground/test/boreholeTest.ts";
export { constantHeadTest, type ConstantHeadTestOptions, type ConstantHeadResult } from "./ground/test/constantHeadTest.ts";
export { elrickConductivity, gloverConductivity } from "./ground/test/constantHeadLaw.ts";
export { withinSiteBand, WITHIN_SITE_FACTOR, type Band } from "./ground/test/withinSiteBand.ts";
export { soilTexture, textureNames, type SoilTexture, type TextureName } from "./ground/soilTexture.ts";
export { hydrologicSoilGroup, type HydrologicSoilGroup } from "./ground/hydrologicSoilGroup.ts";
export { capillaryRise, poreRise, wickingShare, type CapillarySediment } from "./ground/capillaryRise.ts";
export { waterViscosityRatio } from "./ground/waterViscosity.ts";
export { cakeShare, type FloorCake } from "./ground/cakeShare.ts";
export { frostDepth, type FrozenGround } from "./ground/frostDepth.ts";

// Groundwater under and beside the works
export { moundRise, moundRiseLinear, type MoundRiseOptions } from "./ground/mound/moundRise.ts";
export { moundResponse } from "./ground/mound/moundResponse.ts";
export type { MoundPit, MoundPoint } from "./ground/mound/moundPit.ts";
export { moundModes, type MoundModes, type MoundModesOptions } from "./ground/mound/moundModes.ts";
export { moundConvolution, type MoundConvolutionOptions } from "./ground/mound/moundConvolution.ts";
export { moundLimit, type MoundLimit } from "./ground/mound/moundLimit.ts";
export { separation } from "./ground/separation.ts";
export { waterAtWall, type WaterAtWall } from "./ground/waterAtWall.ts";

// Settling
export { settlingVelocity, type SettlingGrain } from "./works/settlingVelocity.ts";
export { basinCapture, basinArea, idealCapture, type SettlingBasin } from "./works/basinCapture.ts";
export { sumpFilling, type FillingSump } from "./works/sumpFilling.ts";
