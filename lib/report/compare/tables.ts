import { cellText, kindOf, type TableInput, type TableRow } from "../show/mod.ts";

/** A row of a table that two runs have, one of them or both; matched by what names it. */
export interface MatchedRow {
  /** The cells that name the row, by column. */
  key: TableRow;
  a: TableRow | null;
  b: TableRow | null;
  /** Labels of the columns whose values differ. */
  differs: string[];
}

/**
 * Matches the rows of one table in two runs by the columns that name them, and says what differs.
 *
 * A row is named by its text columns and, where those repeat, by as many further columns from the
 * left as it takes (years, say); where rows cannot be told apart so, by their place.
 */
export function matchRows(a: TableInput, b: TableInput): { names: string[]; rows: MatchedRow[] } {
  const names = namingColumns(a, b);
  const left = keyed(a, names);
  const right = keyed(b, names);
  const order = [...left.keys()];
  for (const key of right.keys()) if (!left.has(key)) order.push(key);
  const values = a.columns.filter(({ key }) => !names.includes(key));
  const rows = order.map((key): MatchedRow => {
    const [one, other] = [left.get(key) ?? null, right.get(key) ?? null];
    const row = one ?? other ?? {};
    return {
      key: Object.fromEntries(names.map((name) => [name, row[name] ?? null])),
      a: one,
      b: other,
      differs: one && other
        ? values.filter((column) => one[column.key] !== other[column.key]).map(({ label }) => label)
        : [],
    };
  });
  return { names, rows };
}

function namingColumns(a: TableInput, b: TableInput): string[] {
  const shared = a.columns.filter(({ key }) => b.columns.some((column) => column.key === key));
  const isText = shared.filter((column) =>
    kindOf(a, column) === "text" && isNaming(a, column.key) && isNaming(b, column.key)
  );
  const names = isText.map(({ key }) => key);
  for (const { key } of shared) {
    if (isUnique(a, names) && isUnique(b, names)) break;
    if (!names.includes(key)) names.unshift(key);
  }
  return isUnique(a, names) && isUnique(b, names) ? names : [];
}

/** A column whose cells are words: text such as "< 11" or "12 (5.1)" is a value, not a name. */
function isNaming(table: TableInput, key: string): boolean {
  return table.rows.every((row) =>
    !/^[<>≥–−-]|^[\d.,]+ ?(\(|%|\/|to |$)/.test(String(row[key] ?? ""))
  );
}

function isUnique(table: TableInput, names: string[]): boolean {
  return names.length > 0 && keyed(table, names).size === table.rows.length;
}

function keyed(table: TableInput, names: string[]): Map<string, TableRow> {
  return new Map(table.rows.map((row, place) => [
    names.length === 0 ? String(place) : JSON.stringify(names.map((name) => row[name] ?? null)),
    row,
  ]));
}

/**
 * The rows that differ, each twice: as run A has it and, under it, as run B does. `null` where
 * nothing differs.
 */
export function comparedTable(a: TableInput, b: TableInput): TableInput | null {
  const { names, rows } = matchRows(a, b);
  const different = rows.filter(({ a, b, differs }) => !a || !b || differs.length > 0);
  const heads = ({ columns }: TableInput) => columns.map(({ key, label }) => `${key} ${label}`);
  const sameColumns = heads(a).join("\n") === heads(b).join("\n");
  if (different.length === 0 && sameColumns) return null;
  const columns = [
    ...a.columns,
    ...b.columns.filter(({ key }) => !a.columns.some((column) => column.key === key)),
  ];
  const naming = columns.filter(({ key }) => names.includes(key));
  const values = columns.filter(({ key }) => !names.includes(key));
  const text = (table: TableInput, row: TableRow | null, key: string) => {
    const column = table.columns.find((candidate) => candidate.key === key);
    return row && column ? cellText(table, column, row) : "–";
  };
  return {
    id: a.id,
    title: a.title,
    caption: a.caption,
    columns: [
      ...naming.map(({ key, label, unit }) => ({ key, label, unit, kind: "text" as const })),
      { key: "run:", label: "Run", kind: "text" },
      ...values.map(({ key, label, unit }) => ({
        key,
        label,
        unit,
        kind: "text" as const,
        align: "right" as const,
      })),
      { key: "differs:", label: "Differs", kind: "text" },
    ],
    rows: different.flatMap(({ a: one, b: other, differs }) =>
      ([["A", a, one], ["B", b, other]] as const).map(([run, table, row]) => ({
        ...Object.fromEntries(
          naming.map(({ key }) => [key, run === "A" ? text(one ? a : b, one ?? other, key) : ""]),
        ),
        "run:": run,
        ...Object.fromEntries(values.map(({ key }) => [key, text(table, row, key)])),
        "differs:": run === "B"
          ? ""
          : !one
          ? "only in B"
          : !other
          ? "only in A"
          : differs.length === values.length && values.length > 1
          ? "every value"
          : differs.join(", "),
      }))
    ),
    notes: [
      `${rows.length - different.length} of ${rows.length} rows are the same and not shown.`,
      ...(sameColumns ? [] : ["The two runs have different columns."]),
    ],
  };
}
