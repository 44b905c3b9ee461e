/** Colours, letters and lines of all figures. @module */
export {
  darkScheme,
  drawingWidth,
  fontFamily,
  type GroupRole,
  type GroupStyle,
  groupStyles,
  orderedFills,
  palette,
  type PaletteRole,
  styleAt,
  type,
} from "./theme.ts";
