import { Document, HeadingLevel, Packer, Paragraph } from "docx";
import type { FigureItem, Placed, ReportModel } from "../model/mod.ts";
import { reproducible } from "./reproducible.ts";
import {
  figureLegend,
  margin,
  pageOf,
  portrait,
  run,
  tableBlock,
  wordStyles,
} from "./word-table.ts";

/**
 * Every table of the report as a Word table, in the manner of a journal: number and title above,
 * three rules and none between columns, notes beneath, wide tables on a page lying on its side; the
 * figures' legends at the end. The same report gives the same bytes.
 */
export async function tablesDocx(model: ReportModel): Promise<Uint8Array<ArrayBuffer>> {
  const { tables, figures } = model.items;
  const document = new Document({
    creator: model.study.centre,
    title: model.study.title,
    styles: wordStyles,
    sections: [
      ...tables.map((placed) => ({
        properties: pageOf(placed.item),
        children: tableBlock(placed.item, placed.number),
      })),
      ...(figures.length > 0
        ? [{ properties: { page: { size: portrait, margin } }, children: legends(figures) }]
        : []),
    ],
  });
  return reproducible(new Uint8Array(await Packer.toArrayBuffer(document)));
}

function legends(figures: readonly Placed<FigureItem>[]): Paragraph[] {
  return [
    new Paragraph({
      heading: HeadingLevel.HEADING_1,
      children: [run("Figure legends", { bold: true, color: "000000", size: 24 })],
    }),
    ...figures.map(({ item, number }) => figureLegend(item, number)),
  ];
}
