/** The programme's own quality as tables, figures and sentences, fit to be shared. @module */
export { complexityTable, concentrationSentence, pointsTable, typesTable } from "./complexity.ts";
export { durableTable, referralTableOf } from "./durable.ts";
export { learningSentence, programmeLearningFigure } from "./learning.ts";
export { monitoringSentence, programmeMonitoringFigure } from "./monitoring.ts";
export { kindRateTable, targetSentence } from "./rates.ts";
export { programmeParagraph, programmeSentence } from "./summary.ts";
export { spreadSentence, surgeonFunnel, surgeonTable } from "./surgeons.ts";
export { changesTable, yearsFigure } from "./years.ts";
