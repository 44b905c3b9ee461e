/** The programme's own quality as tables, figures and sentences, fit to be shared. @module */
export {
  complexityTable,
  concentrationSentence,
  hardestSentence,
  hardestTable,
  pointsTable,
  scoreQualityTable,
  typesTable,
} from "./complexity.ts";
export { durableTable } from "./durable.ts";
export { learningSentence, learningTable, programmeLearningFigure } from "./learning.ts";
export { monitoringSentence, programmeMonitoringFigure } from "./monitoring.ts";
export { referralQualityTable, referralRestsOn, referralTableOf } from "./referral.ts";
export { kindRateTable, type ShownFrom, targetSentence } from "./rates.ts";
export { programmeParagraph, programmeSentence, type SummaryLimits } from "./summary.ts";
export {
  spreadSentence,
  spreadTable,
  surgeonFunnel,
  surgeonsShownSentence,
  surgeonTable,
  targetFunnel,
} from "./surgeons.ts";
export { changesTable, yearsFigure } from "./years.ts";
export { surgeonAnswersTable } from "./surgeon-answers.ts";
export { funnelPowerTable } from "./funnel-power.ts";
