/**
 * The programme's own quality: learning, concentration, monitoring, change over the years.
 *
 * @module
 */
export { concentrationFigure } from "./concentration-figure.ts";
export { type DrawnPlateau, learningFigure } from "./learning-figure.ts";
export { type DrawnChart, monitoringFigure } from "./monitoring-figure.ts";
export { type DrawnTrend, trendFigure } from "./trend-figure.ts";
