/** The programme’s own quality: who repairs what, how well, and whether that changes. @module */
export * from "./analyses/mod.ts";
export {
  type MixedTerm,
  type RandomInterceptData,
  type RandomInterceptFit,
  randomInterceptLogistic,
  type UnitEffect,
} from "./mixed/mod.ts";
export * from "./complexity/mod.ts";
export * from "./durable/mod.ts";
export * from "./learning/mod.ts";
export * from "./monitor/mod.ts";
export * from "./repair-rate/mod.ts";
export { type SurgeonAnswers, surgeonAnswers } from "./surgeon/mod.ts";
export type { OutcomeKind, Predictions } from "./predictions/mod.ts";
export {
  type Chance,
  type ReferralCell,
  type ReferralData,
  type ReferralTable,
  referralTable,
} from "./referral/mod.ts";
export * from "./trend/mod.ts";
export {
  blockMeans,
  type Blocks,
  difficultiesOf,
  type Difficulty,
  type ProgrammeOperations,
  programmeOperations,
  publishableBlocks,
  type SurgeonLabels,
} from "./operations/mod.ts";
