import { HeadingLevel, Paragraph } from "docx";
import type { Study } from "../../study/file/mod.ts";
import type { Placed, TableItem } from "../model/mod.ts";
import type { WrittenDocument, WrittenTables } from "../word-file/mod.ts";
import { wordDocument } from "./word-document.ts";
import { figureLegend, type Legend, pageOf, run, tableBlock, upright } from "./word-table.ts";

/** The tables of a report and the figures whose legends follow them. */
export interface DocumentTables extends Pick<Study, "centre" | "title"> {
  tables: readonly Pick<Placed<TableItem>, "item" | "number">[];
  figures: readonly { item: Legend; number: number }[];
}

/**
 * Every table of the report as a Word table, in the manner of a journal: number and title above,
 * three rules and none between columns, notes beneath, wide tables on a page lying on its side; the
 * figures' legends at the end. The same report gives the same bytes.
 *
 * @param written Tables of an earlier one.
 */
export function tablesDocx(
  { tables, figures, ...study }: DocumentTables,
  written?: WrittenTables,
): Promise<WrittenDocument> {
  return wordDocument(study, (placed) => [
    ...tables.map(({ item, number }) => ({
      properties: pageOf(item),
      children: tableBlock(item, number, placed),
    })),
    ...(figures.length > 0 ? [{ properties: upright, children: legends(figures) }] : []),
  ], { tables: written });
}

function legends(figures: DocumentTables["figures"]): Paragraph[] {
  return [
    new Paragraph({
      heading: HeadingLevel.HEADING_1,
      children: [run("Figure legends", { bold: true, color: "000000", size: 24 })],
    }),
    ...figures.map(({ item, number }) => figureLegend(item, number)),
  ];
}
