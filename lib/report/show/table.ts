import { DataError } from "../../numerics/mod.ts";
import { formatNumber, formatPValue, noValue, per100, roundTo } from "../../words/mod.ts";
import { displayHook, type MediaBundle, mitralMediaType } from "./display.ts";
import { publishedNumber, publishedShare } from "../../disclosure/mod.ts";
import {
  checkInput,
  type TableBody,
  type TableColumn,
  type TableInput,
  tableInputSchema,
  type TableRow,
} from "../items/mod.ts";
import { type Content, type Element, h, htmlText } from "../tree/mod.ts";

/** A {@link TableInput} that shows itself in a notebook. */
export interface DisplayTable extends TableInput {
  /** Tells it from figures, findings and notes. */
  kind: "table";
  /** What a Jupyter client shows of it. */
  [displayHook](): MediaBundle;
}

/**
 * Makes a table that shows itself: as HTML in the report and in notebook clients, as aligned text
 * in a terminal, and always with its numbers beside it, of four figures at the least (see
 * `publishedNumber`). Shares are rounded to a tenth of one in 100 (see `publishedShare`), or to
 * whole per cent where no decimal is printed: unrounded, they would tell of counts. Shares are the
 * columns of percent, those "per 100" and the limits of an estimate "per 100".
 *
 * @example
 * ```ts
 * import { table } from "mitral";
 * table({
 *   id: "survival-matched",
 *   title: "Alive after operation",
 *   caption: "Matched pairs, log-log limits.",
 *   columns: [{ key: "group", label: "Group" }, { key: "alive", label: "Alive", kind: "percent" }],
 *   rows: [{ group: "repair", alive: 0.712 }, { group: "replacement", alive: 0.69 }],
 * });
 * ```
 * @throws {DataError} On an id that cannot be a file name, no columns, a repeated or missing key.
 */
export function table(input: TableInput): DisplayTable {
  checkInput("table", tableInputSchema.omit({ rows: true }), input);
  const keys = new Set<string>();
  input.columns.forEach(({ key }, index) => {
    if (keys.has(key)) throw new DataError("table columns", "named once each", key, index);
    keys.add(key);
  });
  input.rows.forEach((row, index) => {
    for (const key of keys) {
      const value = row[key];
      if (value !== null && typeof value !== "string" && typeof value !== "number") {
        throw new DataError(`rows.${key}`, "text, a number or null", value, index);
      }
    }
  });
  const wholes = wholesOf(input);
  const { id, title, caption, columns, notes } = input;
  const rows = input.rows.map((row) => portableRow(row, { columns: input.columns, wholes }));
  // what else the caller spread into the heading is no part of the table
  const data = { id, title, caption, columns, rows, ...(notes && { notes }) };
  return {
    ...data,
    kind: "table",
    [displayHook]() {
      return {
        "text/plain": tableText(data),
        "text/html": htmlText(tableTree(data), notesTree(data)),
        [mitralMediaType]: { kind: "table", ...data },
      };
    },
  };
}

/** Columns that are shares, and of how many: 1 for a proportion, 100 for a number per 100. */
function wholesOf(input: TableInput): Map<string, 1 | 100> {
  const perHundred = input.columns.filter(({ unit, digits = 1 }) =>
    unit === "per 100" && digits <= 1
  )
    .map(({ key }) => key);
  const limits = perHundred.includes("estimate") ? ["lower", "upper"] : [];
  return new Map([
    ...[...perHundred, ...limits].map((key) => [key, 100] as const),
    ...input.columns.filter((column) => kindOf(input, column) === "percent")
      .map(({ key }) => [key, 1] as const),
  ]);
}

/** JSON has no NaN and no infinity: no value and an unbounded limit must still differ in a file. */
function portableRow(
  row: TableRow,
  { columns, wholes }: {
    columns: readonly TableColumn[];
    wholes: ReadonlyMap<string, 1 | 100>;
  },
): TableRow {
  const portable: TableRow = {};
  for (const column of columns) {
    const value = row[column.key] ?? null;
    portable[column.key] = typeof value !== "number"
      ? value
      : Number.isFinite(value)
      ? published(value, { column, per: wholes.get(column.key) })
      : Number.isNaN(value)
      ? null
      : formatNumber(value);
  }
  return portable;
}

function published(
  value: number,
  { column, per }: { column: TableColumn; per: 1 | 100 | undefined },
): number {
  if (per === undefined) return publishedNumber(value, column);
  if (per === 1 && column.digits === 0) return roundTo(value, 2);
  return publishedShare(value / per, { per });
}

/** The columns that are printed; the others are kept in files, for programs. */
export function printedColumns({ columns }: Pick<TableInput, "columns">): TableColumn[] {
  return columns.filter(({ onlyInFiles }) => !onlyInFiles);
}

/** The text of one cell, as printed. */
export function cellText(input: TableBody, column: TableColumn, row: TableRow): string {
  const value = row[column.key];
  if (value === null || value === undefined) return noValue;
  if (typeof value === "string") return value;
  switch (kindOf(input, column)) {
    case "pvalue":
      return formatPValue(value);
    case "percent":
      return formatNumber(per100(value), { digits: column.digits ?? 1 });
    default:
      return formatNumber(value, { digits: column.digits });
  }
}

/** A column's heading with its unit. */
export function headingText(input: TableBody, column: TableColumn): string {
  const unit = column.unit ?? (kindOf(input, column) === "percent" ? "%" : undefined);
  return unit ? `${column.label} (${unit})` : column.label;
}

/**
 * The table as a tree: one heading row, the first column of text heading its row.
 *
 * @param options.caption `none` where the caption stands elsewhere.
 * @param options.rowId Anchors each row: this, a hyphen and its number from 1.
 */
export function tableTree(
  input: TableInput,
  options: { caption: "inside" | "none"; rowId?: string } = { caption: "inside" },
): Element {
  const printed = printedColumns(input);
  const first = printed[0];
  const rowHeading = first && kindOf(input, first) === "text" ? first.key : undefined;
  const head = printed.map((column) =>
    h(
      headingText(input, column).length > 24 ? "th.broad" : "th",
      { scope: "col", style: alignment(input, column) },
      headingTree(input, column),
    )
  );
  // names of groups stay in one piece where there is room for them
  const names = new Set(
    printed.filter((column) =>
      kindOf(input, column) === "text" && printed.length <= 9 &&
      input.rows.every((row) => cellText(input, column, row).length <= 20)
    ).map(({ key }) => key),
  );
  const body = input.rows.map((row, index) =>
    h(
      "tr",
      { id: options.rowId && `${options.rowId}-${index + 1}` },
      printed.map((column) => {
        const heads = column.key === rowHeading;
        return h(
          `${heads ? "th" : "td"}${names.has(column.key) ? ".name" : ""}`,
          { scope: heads ? "row" : undefined, style: alignment(input, column) },
          cellText(input, column, row),
        );
      }),
    )
  );
  // what does not fit across a page needs one that lies on its side, and smaller letters
  return h(
    leastWidth(input) > 106 ? "table.wide" : "table",
    {},
    options.caption === "inside" &&
      h("caption", {}, h("strong", {}, `${input.title}.`), ` ${input.caption}`),
    h("thead", {}, h("tr", {}, head)),
    h("tbody", {}, body),
  );
}

function notesTree({ notes = [] }: TableInput): Element[] {
  return notes.map((line) => h("p", {}, line));
}

/** The table as text in aligned columns. */
export function tableText(input: TableInput): string {
  const printed = printedColumns(input);
  const lines = [
    printed.map((column) => headingText(input, column)),
    ...input.rows.map((row) => printed.map((column) => cellText(input, column, row))),
  ];
  const widths = printed.map((_, c) => Math.max(...lines.map((line) => [...line[c] ?? ""].length)));
  const right = printed.map((column) => alignOf(input, column) === "right");
  const text = lines.map((line) =>
    line.map((cell, c) => {
      const fill = " ".repeat((widths[c] ?? 0) - [...cell].length);
      return right[c] ? fill + cell : cell + fill;
    }).join("  ").trimEnd()
  );
  const [head = "", ...body] = text;
  const rule = "-".repeat(Math.max(...text.map((line) => line.length)));
  return [input.title, head, rule, ...body, ...input.notes ?? []].join("\n");
}

/** What a column holds: as told, else from its first value. */
export function kindOf(input: TableBody, column: TableColumn): NonNullable<TableColumn["kind"]> {
  if (column.kind) return column.kind;
  const first = input.rows.find((row) => row[column.key] !== null)?.[column.key];
  return typeof first === "number" ? "number" : "text";
}

/** How many letters a line of the table takes at the least: its longest words, side by side. */
function leastWidth(input: TableBody): number {
  return printedColumns(input).reduce((sum, column) => {
    const numeric = alignOf(input, column) === "right";
    const words = headingText(input, column).split(/[ \n]/);
    const cells = input.rows.map((row) => cellText(input, column, row))
      .flatMap((text) => numeric || text.length <= 20 ? [text] : text.split(" "));
    return sum + 2 + Math.max(...[...words, ...cells].map((text) => text.length));
  }, 0);
}

function headingTree(input: TableBody, column: TableColumn): Content {
  const unit = column.unit ?? (kindOf(input, column) === "percent" ? "%" : undefined);
  // a short unit stays in one piece
  const kind = unit && unit.length <= 12 ? "span.unit.whole" : "span.unit";
  return [column.label, unit && [" ", h(kind, {}, `(${unit})`)]];
}

function alignOf(input: TableBody, column: TableColumn): "left" | "right" {
  return column.align ?? (kindOf(input, column) === "text" ? "left" : "right");
}

function alignment(input: TableBody, column: TableColumn): string | undefined {
  return alignOf(input, column) === "right" ? "text-align:right" : undefined;
}
