/** What figures are drawn with: panels, letters, colours, the document. @module */
export { countBins, isJoined } from "./bins.ts";
export { curvePanels, type CurvePanelSpec, percentTick } from "./curve-panel.ts";
export { endLabels, frameHeightFor, nameLines, nameSpace } from "./end-labels.ts";
export {
  type Figure,
  type FigureOptions,
  type FigureVersion,
  makeFigure,
  sentences,
} from "./figure.ts";
export { cellCount, percentText, publishedText, textWidth, widest, wrapText } from "./letters.ts";
export {
  type EffectCurve,
  type LinePanel,
  linePanel,
  type LinePanelSpec,
  type LinePoint,
} from "./line-panel.ts";
export { mirrorPanel, type MirrorSide } from "./mirror-panel.ts";
export {
  axisBelow,
  panelHeading,
  plotPanel,
  roundTicks,
  timeAxis,
  timeTicks,
  valueAxis,
} from "./plot.ts";
export { type RiskRows, riskTable } from "./risk-table.ts";
export { namesAbove, rowLayout, rowNames } from "./row-layout.ts";
export { numberAtRisk, type StepCurve, stepDrawing, stepValue } from "./steps.ts";
export {
  beside,
  element,
  fromDom,
  inRows,
  type Panel,
  serialize,
  stack,
  type SvgNode,
  textLines,
} from "./svg.ts";
export { directionTexts, type Sides, underFrame, type UnderText } from "./under-frame.ts";
