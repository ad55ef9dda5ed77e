import type { Cases } from "./cases.ts";
import { ensembleCases, type EnsembleStudy } from "./ensembleCases.ts";
import { lotCases, type LotsStudy } from "./lotCases.ts";
import { lotFlowCases, type LotFlowsStudy } from "./lotFlows.ts";
import { lotYearCases, type LotYearsStudy } from "./lotYears.ts";
import { oftenCases, type OftenStudy } from "./oftenCases.ts";
import { sizeCases, type SizeStudy } from "./sizeCases.ts";
import { sweepCases, type SweepStudy } from "./sweepCases.ts";

/** A study as plain data: it goes to a thread, and into a file beside its rows, just as it is. */
export type Study = EnsembleStudy | LotFlowsStudy | LotsStudy | LotYearsStudy | OftenStudy | SizeStudy | SweepStudy;

/** The cases of any study. */
export function casesOf(study: Study): Cases {
  switch (study.kind) {
    case "ensemble": return ensembleCases(study);
    case "lotFlows": return lotFlowCases(study);
    case "lots": return lotCases(study);
    case "lotYears": return lotYearCases(study);
    case "often": return oftenCases(study);
    case "size": return sizeCases(study);
    case "sweep": return sweepCases(study);
  }
}
