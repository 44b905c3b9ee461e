import {
  AlignmentType,
  Bookmark,
  BorderStyle,
  Document,
  HeadingLevel,
  Packer,
  PageOrientation,
  Paragraph,
  Table,
  TableCell,
  TableRow,
  TextRun,
  WidthType,
} from "docx";
import { unzipSync, zipSync } from "fflate";
import type { FigureItem, Placed, ReportModel, TableItem } from "../model/mod.ts";
import { cellText, headingText, kindOf, type TableColumn } from "../show/mod.ts";

const font = "Times New Roman";
const rule = { style: BorderStyle.SINGLE, size: 8, color: "000000" };
const thin = { style: BorderStyle.SINGLE, size: 4, color: "000000" };
const none = { style: BorderStyle.NONE, size: 0, color: "auto" };
const bookmark = /(<w:bookmark(?:Start|End)\b[^>]*\bw:id=")(\d+)"/g;
const page = { width: 11906, height: 16838, margin: 1134 };

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
    styles: { default: { document: { run: { font, size: 20 } } } },
    sections: [
      ...tables.map((placed) => ({
        properties: pageOf(placed.item),
        children: tableBlock(placed),
      })),
      ...(figures.length > 0
        ? [{ properties: { page: { size: portrait, margin } }, children: legends(figures) }]
        : []),
    ],
  });
  return reproducible(new Uint8Array(await Packer.toArrayBuffer(document)));
}

const portrait = { width: page.width, height: page.height };
const margin = { top: page.margin, bottom: page.margin, left: page.margin, right: page.margin };

function isWide({ columns }: TableItem): boolean {
  return columns.length > 7;
}

function pageOf(item: TableItem) {
  const size = isWide(item) ? { ...portrait, orientation: PageOrientation.LANDSCAPE } : portrait;
  return { page: { size, margin } };
}

function tableBlock(placed: Placed<TableItem>): (Paragraph | Table)[] {
  const { item, number } = placed;
  return [
    new Paragraph({
      heading: HeadingLevel.HEADING_2,
      keepNext: true,
      spacing: { after: 80 },
      children: [
        new Bookmark({
          id: `table_${number}`,
          children: [run(`Table ${number}. `, { bold: true, color: "000000", size: 20 })],
        }),
        run(item.title, { bold: false, color: "000000", size: 20 }),
      ],
    }),
    wordTable(item),
    ...[
      `${item.caption} (${item.status})`,
      ...item.notes ?? [],
    ].filter((text) => text.trim() !== "").map((text) =>
      new Paragraph({ spacing: { before: 60 }, children: [run(text, { size: 17 })] })
    ),
  ];
}

function wordTable(item: TableItem): Table {
  const room = (isWide(item) ? page.height : page.width) - 2 * page.margin;
  const widths = columnWidths(item, room);
  const first = item.columns[0];
  const cell = (
    text: string,
    column: TableColumn,
    options: { heading?: boolean; last?: boolean },
  ) =>
    new TableCell({
      width: { size: widths[item.columns.indexOf(column)] ?? 0, type: WidthType.DXA },
      margins: { top: 30, bottom: 30, left: 50, right: 50 },
      borders: {
        top: options.heading ? rule : none,
        bottom: options.heading ? thin : options.last ? rule : none,
        left: none,
        right: none,
      },
      children: [
        new Paragraph({
          alignment: alignmentOf(item, column),
          // leading spaces indent the categories of a characteristic
          indent: { left: column === first ? 120 * (/^\s*/.exec(text)?.[0].length ?? 0) / 2 : 0 },
          children: [run(text.trim(), { bold: options.heading ?? false, size: 18 })],
        }),
      ],
    });
  return new Table({
    width: { size: room, type: WidthType.DXA },
    columnWidths: widths,
    rows: [
      new TableRow({
        tableHeader: true,
        cantSplit: true,
        children: item.columns.map((column) =>
          cell(headingText(item, column), column, { heading: true })
        ),
      }),
      ...item.rows.map((row, index) =>
        new TableRow({
          cantSplit: true,
          children: item.columns.map((column) =>
            cell(cellText(item, column, row), column, { last: index === item.rows.length - 1 })
          ),
        })
      ),
    ],
  });
}

/** Room shared by the longest text of each column, so that numbers need not break. */
function columnWidths(item: TableItem, room: number): number[] {
  const lengths = item.columns.map((column) => {
    const texts = item.rows.map((row) => cellText(item, column, row).length);
    const words = headingText(item, column).split(" ").map((word) => word.length);
    return Math.min(40, Math.max(6, ...texts, ...words));
  });
  const total = lengths.reduce((sum, length) => sum + length, 0);
  return lengths.map((length) => Math.floor(room * length / total));
}

function alignmentOf(item: TableItem, column: TableColumn) {
  const right = column.align ? column.align === "right" : kindOf(item, column) !== "text";
  return right ? AlignmentType.RIGHT : AlignmentType.LEFT;
}

function legends(figures: readonly Placed<FigureItem>[]): Paragraph[] {
  return [
    new Paragraph({
      heading: HeadingLevel.HEADING_1,
      children: [run("Figure legends", { bold: true, color: "000000", size: 24 })],
    }),
    ...figures.map(({ item, number }) =>
      new Paragraph({
        spacing: { before: 120 },
        children: [run(`Figure ${number}. ${item.title}. `, { bold: true }), run(item.caption, {})],
      })
    ),
  ];
}

function run(
  text: string,
  options: { bold?: boolean; color?: string; size?: number },
): TextRun {
  return new TextRun({ text, font, ...options });
}

/**
 * The writer stamps the time on the file and on each part of it, and numbers bookmarks through the
 * life of the process: the same tables, the same bytes.
 */
function reproducible(docx: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer> {
  const parts = unzipSync(docx);
  const core = parts["docProps/core.xml"];
  if (core) {
    const text = new TextDecoder().decode(core)
      .replace(/\d{4}-\d\d-\d\dT[\d:.]+Z/g, "2000-01-01T00:00:00Z");
    parts["docProps/core.xml"] = new TextEncoder().encode(text);
  }
  const body = parts["word/document.xml"];
  if (body) {
    const text = new TextDecoder().decode(body);
    const least = Math.min(...[...text.matchAll(bookmark)].map((found) => Number(found[2])));
    const counted = text.replace(
      bookmark,
      (_, before: string, id: string) => `${before}${Number(id) - least + 1}"`,
    );
    parts["word/document.xml"] = new TextEncoder().encode(counted);
  }
  return new Uint8Array(zipSync(parts, { mtime: "2000-01-01T12:00:00Z", level: 6 }));
}
