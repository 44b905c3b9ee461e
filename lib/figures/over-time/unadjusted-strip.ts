import { drawingWidth, type FigureOptions, type Panel, warningStrip } from "../drawing/mod.ts";

/** Over curves of groups as they were: what these do not compare. */
export function unadjustedStrip({ version, width = drawingWidth }: FigureOptions): Panel[] {
  if (version?.design !== "unadjusted") return [];
  return [warningStrip(
    "Unadjusted: the groups were not alike before operation. This compares patients, not operations.",
    width,
  )];
}
