import {
  AlignmentType,
  Bookmark,
  BorderStyle,
  HeadingLevel,
  type IStylesOptions,
  PageOrientation,
  Paragraph,
  Table,
  TableCell,
  TableLayoutType,
  TableRow,
  TextRun,
  WidthType,
} from "docx";
import type { FigureItem, TableBody, TableItem } from "../items/mod.ts";
import {
  cellText,
  headingText,
  kindOf,
  printedColumns,
  sentence,
  type TableColumn,
} from "../show/mod.ts";
import type { TablesOfDocument } from "./written-tables.ts";

const font = "Times New Roman";
const rule = { style: BorderStyle.SINGLE, size: 8, color: "000000" };
const thin = { style: BorderStyle.SINGLE, size: 4, color: "000000" };
const none = { style: BorderStyle.NONE, size: 0, color: "auto" };
const page = { width: 11906, height: 16838, margin: 1134 };

/** In twentieths of a point. */
const portrait = { width: page.width, height: page.height };
const margin = {
  top: page.margin,
  bottom: page.margin,
  left: page.margin,
  right: page.margin,
};
/** A page of A4 standing up. */
export const upright = { page: { size: portrait, margin } };

const cellRun = { size: 18 };
/**
 * The face and size of the text, and what cells of tables have in common: said once, for the
 * tables of the demonstration have more than 5,000.
 */
export const wordStyles: IStylesOptions = {
  default: { document: { run: { font, size: 20 } } },
  paragraphStyles: [
    { id: "cell", name: "Table cell", run: cellRun },
    {
      id: "number",
      name: "Table number",
      run: cellRun,
      paragraph: { alignment: AlignmentType.RIGHT },
    },
    { id: "cell-heading", name: "Table heading", run: { ...cellRun, bold: true } },
    {
      id: "number-heading",
      name: "Table heading of numbers",
      run: { ...cellRun, bold: true },
      paragraph: { alignment: AlignmentType.RIGHT },
    },
  ],
};

function isWide(item: TableBody): boolean {
  return printedColumns(item).length > 7;
}

/** The page a table stands on: on its side where it has many columns. */
export function pageOf(item: TableItem) {
  const size = isWide(item) ? { ...portrait, orientation: PageOrientation.LANDSCAPE } : portrait;
  return { page: { size, margin } };
}

/** What a figure's legend says. */
export type Legend = Pick<FigureItem, "title" | "caption">;

/** A figure's number, title and caption. */
export function figureLegend(item: Legend, number: number): Paragraph {
  return new Paragraph({
    spacing: { before: 120 },
    children: [
      run(`Figure ${number}. ${sentence(item.title)} `, { bold: true }),
      run(item.caption, {}),
    ],
  });
}

/**
 * A table in the manner of a journal: number and title above, three rules, notes beneath.
 *
 * @param tables Of the document that it is for, in whose order this is called.
 */
export function tableBlock(
  item: TableItem,
  number: number,
  tables: TablesOfDocument,
): (Paragraph | Table)[] {
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
    tables.place(item, wordTable),
    ...[
      `${item.caption} (${item.status})`,
      ...item.notes ?? [],
    ].filter((text) => text.trim() !== "").map((text) =>
      new Paragraph({ spacing: { before: 60 }, children: [run(text, { size: 17 })] })
    ),
  ];
}

function wordTable(item: TableBody): Table {
  const room = (isWide(item) ? page.height : page.width) - 2 * page.margin;
  const widths = columnWidths(item, room);
  const columns = printedColumns(item);
  const first = columns[0];
  const cell = (text: string, column: TableColumn, heading = false) => {
    // leading spaces indent the categories of a characteristic
    const spaces = column === first ? /^\s*/.exec(text)?.[0].length ?? 0 : 0;
    const style = `${isRight(item, column) ? "number" : "cell"}${heading ? "-heading" : ""}`;
    return new TableCell({
      ...(heading && { borders: { bottom: thin } }),
      children: [
        new Paragraph({
          style,
          ...(spaces > 0 && { indent: { left: 60 * spaces } }),
          text: text.trim(),
        }),
      ],
    });
  };
  return new Table({
    width: { size: room, type: WidthType.DXA },
    columnWidths: widths,
    layout: TableLayoutType.FIXED,
    margins: { top: 30, bottom: 30, left: 50, right: 50 },
    borders: {
      top: rule,
      bottom: rule,
      left: none,
      right: none,
      insideHorizontal: none,
      insideVertical: none,
    },
    rows: [
      new TableRow({
        tableHeader: true,
        cantSplit: true,
        children: columns.map((column) => cell(headingText(item, column), column, true)),
      }),
      ...item.rows.map((row) =>
        new TableRow({
          cantSplit: true,
          children: columns.map((column) => cell(cellText(item, column, row), column)),
        })
      ),
    ],
  });
}

/** Room shared by the longest text of each column, so that numbers need not break. */
function columnWidths(item: TableBody, room: number): number[] {
  const lengths = printedColumns(item).map((column) => {
    const texts = item.rows.map((row) => cellText(item, column, row).length);
    const words = headingText(item, column).split(" ").map((word) => word.length);
    return Math.min(40, Math.max(6, ...texts, ...words));
  });
  const total = lengths.reduce((sum, length) => sum + length, 0);
  return lengths.map((length) => Math.floor(room * length / total));
}

function isRight(item: TableBody, column: TableColumn): boolean {
  return column.align ? column.align === "right" : kindOf(item, column) !== "text";
}

/** Words in the face of the document. */
export function run(
  text: string,
  options: { bold?: boolean; color?: string; size?: number },
): TextRun {
  return new TextRun({ text, font, ...options });
}
