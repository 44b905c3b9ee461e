/** Who was studied, and how alike the groups are. @module */
export { balanceFigure, type BalanceRow } from "./balance-figure.ts";
export { type FlowCount, flowFigure, type FlowStage } from "./flow-figure.ts";
export { propensityFigure, type PropensityGroup } from "./propensity-figure.ts";
export { imputationFigure, type ImputedPanel } from "./imputation-figure.ts";
export { type PopulationBalance, populationBalanceFigure } from "./population-balance-figure.ts";
