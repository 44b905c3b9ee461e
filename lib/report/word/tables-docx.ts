import { HeadingLevel, Paragraph } from "docx";
import type { Study } from "../../study/file/mod.ts";
import type { FigureItem, Placed, TableItem } from "../model/mod.ts";
import { wordDocument } from "./word-document.ts";
import { figureLegend, pageOf, run, tableBlock, upright } from "./word-table.ts";

/** The tables of a report and the figures whose legends follow them. */
export interface DocumentTables extends Pick<Study, "centre" | "title"> {
  tables: readonly Placed<TableItem>[];
  figures: readonly Placed<FigureItem>[];
}

/**
 * Every table of the report as a Word table, in the manner of a journal: number and title above,
 * three rules and none between columns, notes beneath, wide tables on a page lying on its side; the
 * figures' legends at the end. The same report gives the same bytes.
 */
export function tablesDocx(
  { tables, figures, ...study }: DocumentTables,
): Promise<Uint8Array<ArrayBuffer>> {
  return wordDocument(study, [
    ...tables.map(({ item, number }) => ({
      properties: pageOf(item),
      children: tableBlock(item, number),
    })),
    ...(figures.length > 0 ? [{ properties: upright, children: legends(figures) }] : []),
  ]);
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
