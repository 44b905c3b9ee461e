/** The programme's own quality, of the patients of an analysis and as its plan says. @module */
export { type ProgrammeComplexity, programmeComplexity } from "./complexity.ts";
export { durableByVolume, profilesOf, programmeReferral } from "./durable.ts";
export { type LearningOutcome, type ProgrammeLearning, programmeLearning } from "./learning.ts";
export { type ProgrammeMonitoring, programmeMonitoring } from "./monitoring.ts";
export { complexityPoints, type KindRate, repairRatesByKind } from "./rates-by-kind.ts";
export {
  type SurgeonRate,
  type SurgeonRates,
  surgeonRates,
  type TargetRate,
  targetRates,
} from "./surgeons.ts";
export { isWithheld, type Withheld } from "./withheld.ts";
export { type YearlyOutcome, yearlyTrend } from "./years.ts";
