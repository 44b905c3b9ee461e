import { type ReportModel, statusOfFigure } from "../model/mod.ts";

/** Captions to go with the drawings, which carry only their letters. */
export function captionsText(model: ReportModel): string {
  return model.items.figures.map(({ item, number }) =>
    `Figure ${number} (${item.id}). ${item.title}. ${item.caption} (${
      statusOfFigure(item, model)
    })\n`
  ).join("\n");
}
