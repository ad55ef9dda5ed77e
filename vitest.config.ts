import { defineConfig } from "vitest/config";
import { BaseSequencer, type TestSpecification } from "vitest/node";

/** What takes longest by itself: threads and processes, whole pages, random sites, studies and fits. */
const SLOW = [
  "tests/command/{command,package,runLots,runStudies}.test.ts",
  "tests/dips/{dips,failedPit,faults,fieldNotes,fillTest,loadLikelihood,season}.test.ts",
  "tests/figures/{drawnTimes,figures,longRuns,sitePlanFigure,snapshots}.test.ts",
  "tests/ground/{anyTest,hantushIntegral,mound,testHoles}.test.ts",
  "tests/kernel/script.test.ts",
  "tests/layers.test.ts",
  "tests/live/address.test.ts",
  "tests/longTexts.test.ts",
  "tests/node/{studyFile,threadPool}.test.ts",
  "tests/plan/{holeDistances,levelList,siting,takeOff}.test.ts",
  "tests/rain/placeRain.test.ts",
  "tests/report/{decideStudies,decisionParts,namesOnly,onSiteParts,pieces,report,sitingPart,studyWords,unusualSites,wholePages,yearsPart}.test.ts",
  "tests/runoff/unitHydrograph.test.ts",
  "tests/simulate/{drainDown,keptCases,laws,limits,optionLaws,simulateRecord,stormRuns}.test.ts",
  "tests/site/{anyFile,refusals,siteSchema,soilLayers}.test.ts",
  "tests/study/{compare,ensemble,howSure,lots,often,pathBand,placement,resized,size,sizeByHand,soilStudies,sweep,testHole,thatDay}.test.ts",
  "tests/text/quantityPattern.test.ts",
  "tests/upkeep/years.test.ts",
  "tests/yard/yard.test.ts",
];

/** What counts the steps of a program comes first: V8 goes through all that a process has loaded by then, at each count. */
class CountedFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const isCounted = ({ moduleId }: TestSpecification): boolean => moduleId.endsWith("/longTexts.test.ts");
    const sorted = await super.sort(files);
    return [...sorted.filter(isCounted), ...sorted.filter((file) => !isCounted(file))];
  }
}

// `npm test` needs npm packages alone: what needs a build, Chromium or Jupyter has a configuration of its own.
// `npm run test:quick` leaves out what takes long
export default defineConfig(({ mode }) => ({
  test: {
    include: ["tests/**/*.test.ts"],
    exclude: ["tests/browser/**", "tests/notebooks/**", "tests/prove/**", ...(mode === "quick" ? SLOW : [])],
    globalSetup: "tests/tools/compileKernel.mjs",
    // of two cores vitest would leave one idle
    maxWorkers: "100%",
    // laws on random cases: all of them are for `npm run prove`, a few for anyone who works on it
    env: { PROVE_SHARE: mode === "quick" ? "0.02" : "0.1" },
    // no module of lib keeps state that one test could leave to the next: files share a process, and load lib once
    isolate: false,
    sequence: { sequencer: CountedFirst },
    // a busy machine takes longer than the default of 5 s
    testTimeout: 30_000,
  },
}));
