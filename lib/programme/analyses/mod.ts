/** The programme's own quality, of the patients of an analysis and as its plan says. @module */
export { type ProgrammeComplexity, programmeComplexity } from "./complexity.ts";
export { comparisonBySurgeon } from "./comparison.ts";
export { durableByVolume } from "./durable.ts";
export { type HardestType, hardestTypes } from "./hardest.ts";
export { type LearningOutcome, type ProgrammeLearning, programmeLearning } from "./learning.ts";
export { type ProgrammeMonitoring, programmeMonitoring } from "./monitoring.ts";
export { complexityPoints, type KindRate, repairRatesByKind } from "./rates-by-kind.ts";
export { profilesOf, type ProgrammeReferral, programmeReferral } from "./referral.ts";
export {
  type RatesAgainstTarget,
  type StudyTarget,
  type SurgeonRate,
  type SurgeonRates,
  surgeonRates,
  surgeonRatesAgainst,
  type TargetRate,
  targetRates,
} from "./surgeons.ts";
export { isWithheld, type Withheld } from "./withheld.ts";
export {
  type YearlyChange,
  yearlyChanges,
  yearlyComplexity,
  yearlyDurable,
  type YearlyOutcome,
  yearlyTrend,
} from "./years.ts";
