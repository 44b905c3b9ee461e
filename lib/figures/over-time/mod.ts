/** What happens with the years after operation. @module */
export { datingFigure, type DatingRow } from "./dating-figure.ts";
export { gradeFigure, type GradeGroup, type GradeVisit } from "./grade-figure.ts";
export {
  type CauseLabel,
  type IncidenceColumns,
  incidenceFigure,
  type IncidenceGroup,
} from "./incidence-figure.ts";
export { type IncidenceFrame, smallIncidenceFigure } from "./small-incidence-figure.ts";
export { stackedStatesFigure, type StatesGroup } from "./stacked-states-figure.ts";
export type { AtRiskColumns, DifferenceColumns, SurvivalColumns } from "./curve-columns.ts";
export { survivalFigure, type SurvivalGroup, type TimeFigureOptions } from "./survival-figure.ts";
export { visitFigure, type VisitGroup } from "./visit-figure.ts";
