import { inSentence, levelText } from "../../words/mod.ts";
import { type ComparedPair, comparedPairOf } from "./contrasts.ts";
import {
  type DisplayTable,
  type GroupLabels,
  pairColumns,
  type PairKey,
  pairRow,
  table,
  type TableInput,
  type TableRow,
} from "../show/mod.ts";

/** What one cell of the grid can say in a word. */
export type GridVerdict = "first" | "second" | "alike" | "uncertain" | "too-few";

/**
 * One population and one endpoint at the main horizon: a cell of the first screen's grid, its
 * numbers per 100, null where too few are alike.
 */
export interface GridCell extends ComparedPair {
  /** The population's id in the study file; `everyone` for all eligible patients. */
  population: string;
  /** Name of the population. */
  populationLabel: string;
  /** For narrow screens. */
  populationShort: string;
  /** Whether it is the population that the first answer is about. */
  main: boolean;
  /** Whether the plan asked for it. */
  status: "planned" | "exploratory";
  /** Patients in it, or a bound where the number is too small to publish. */
  patients: number | string;
  /** The endpoint's id in the study file: `death`, `valve-failure`, `reoperation`. */
  endpoint: string;
  /** What is counted, such as "Alive" or "Valve failure". */
  quantity: string;
  /** Years after operation. */
  years: number;
  /** What the limits allow to be said. */
  verdict: GridVerdict;
  /** Why there is no number, in words; empty where there is one. */
  why: string;
  /** The figure with its curves, to go to from the row; empty where there is none. */
  figureId: string;
}

/** What a cell's verdict says in words, beside the word by which programs know it. */
const found = "found";

const columns: (TableInput["columns"][number] & {
  key: keyof GridCell | PairKey | typeof found;
})[] = [
  { key: "populationLabel", label: "Patients", kind: "text" },
  { key: "populationShort", label: "In short", kind: "text", onlyInFiles: true },
  { key: "population", label: "Id", kind: "text", onlyInFiles: true },
  { key: "main", label: "Main", kind: "text", onlyInFiles: true },
  { key: "status", label: "Status", kind: "text" },
  { key: "patients", label: "Number", kind: "number" },
  { key: "endpoint", label: "Endpoint", kind: "text", onlyInFiles: true },
  { key: "quantity", label: "Quantity", kind: "text" },
  { key: "years", label: "Years", kind: "number" },
  { key: "first", label: "First", unit: "per 100", kind: "number", digits: 1 },
  { key: "second", label: "Second", unit: "per 100", kind: "number", digits: 1 },
  ...pairColumns,
  { key: "difference", label: "Difference", unit: "per 100", kind: "number", digits: 1 },
  { key: "lower", label: "from", kind: "number", digits: 1 },
  { key: "upper", label: "to", kind: "number", digits: 1 },
  { key: "verdict", label: "Verdict", kind: "text", onlyInFiles: true },
  { key: found, label: "What the limits say", kind: "text" },
  { key: "why", label: "Why no number", kind: "text" },
  { key: "figureId", label: "Curves", kind: "text", onlyInFiles: true },
];

/** The id under which the grid is shown: the page finds it by this. */
export const gridId = "grid";

/**
 * The first screen's grid as a table, one line a population and endpoint.
 *
 * The item is a table of the id {@link gridId} (`grid`), so that it is saved, compared and
 * checked like any other; the page takes it apart with {@link gridCells} and sets populations as
 * rows and endpoints as columns, in the order in which they come.
 *
 * @param heading.labels Heads the columns of the two groups.
 */
export function gridTable(
  heading: Pick<TableInput, "title" | "caption" | "notes"> & {
    labels: GroupLabels;
    confidence?: number;
  },
  cells: readonly GridCell[],
): DisplayTable {
  const { labels, confidence = 0.95, ...rest } = heading;
  const short = shortNames(labels.repair, labels.replacement);
  const named: Partial<Record<string, string>> = {
    first: labels.repair,
    second: labels.replacement,
    lower: `${levelText(confidence)} from`,
  };
  return table({
    ...rest,
    id: gridId,
    columns: columns.map((column) => ({ ...column, label: named[column.key] ?? column.label })),
    rows: cells.map(({ printed, ...cell }): TableRow => ({
      ...cell,
      ...pairRow(printed),
      main: cell.main ? "yes" : "no",
      [found]: gridVerdictWords(cell.verdict, short),
    })),
  });
}

/** The cells of a grid as it was shown. */
export function gridCells(shown: Pick<TableInput, "rows">): GridCell[] {
  const text = (value: TableRow[string] | undefined) => String(value ?? "");
  return shown.rows.map((row) => ({
    population: text(row.population),
    populationLabel: text(row.populationLabel),
    populationShort: text(row.populationShort),
    main: row.main === "yes",
    status: row.status === "planned" ? "planned" : "exploratory",
    patients: typeof row.patients === "number" ? row.patients : text(row.patients),
    endpoint: text(row.endpoint),
    quantity: text(row.quantity),
    years: typeof row.years === "number" ? row.years : NaN,
    ...comparedPairOf(row),
    verdict: verdicts.find((one) => one === row.verdict) ?? "too-few",
    why: text(row.why),
    figureId: text(row.figureId),
  }));
}

const verdicts: readonly GridVerdict[] = ["first", "second", "alike", "uncertain", "too-few"];

/** Two groups' names where there is little room: without the words that both end in. */
export function shortNames(first: string, second: string): [string, string] {
  const [a, b] = [first.split(" "), second.split(" ")];
  while (a.length > 1 && b.length > 1 && a.at(-1) === b.at(-1)) {
    a.pop();
    b.pop();
  }
  return [a.join(" "), b.join(" ")];
}

/** A verdict, in the plan's words for the groups. */
export function gridVerdictWords(
  verdict: GridVerdict,
  [first, second]: readonly [string, string],
): string {
  switch (verdict) {
    case "first":
      return `better: ${inSentence(first)}`;
    case "second":
      return `better: ${inSentence(second)}`;
    case "alike":
      return "no clear difference";
    case "uncertain":
      return "not settled";
    case "too-few":
      return "no number";
  }
}
