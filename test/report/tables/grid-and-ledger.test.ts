import { deepEqual, doesNotMatch, match } from "node:assert/strict";
import fc from "fast-check";
import {
  type GridCell,
  gridCells,
  gridTable,
  ledgerLines,
  ledgerTable,
} from "../../../lib/report/pair-tables/mod.ts";
import { gridTree } from "../../../lib/report/article/grid.ts";
import { cellText, printedColumns } from "../../../lib/report/show/mod.ts";
import { htmlText } from "../../../lib/report/tree/mod.ts";

const labels = { repair: "Repair", replacement: "Replacement" };
const heading = { title: "In which valves", caption: "Of 100 patients.", labels };
const cell: GridCell = {
  population: "secondary",
  populationLabel: "Secondary regurgitation",
  populationShort: "Secondary",
  main: true,
  status: "planned",
  patients: 412,
  endpoint: "valve-failure",
  quantity: "Valve failure",
  years: 5,
  first: 37,
  second: 2,
  difference: 35,
  lower: 28,
  upper: 42,
  printed: { first: "37", second: "2", change: "35 more", range: "28 to 42 more" },
  verdict: "second",
  why: "",
  figureId: "failure-secondary",
};

Deno.test("gridCells() takes apart what gridTable() put together", () => {
  const whole = fc.constantFrom<number | null>(null, 0, 37, 100);
  fc.assert(fc.property(whole, fc.boolean(), (first, main) => {
    const cells: GridCell[] = [cell, { ...cell, first, main, patients: "< 11", why: "too few" }];
    deepEqual(gridCells(gridTable(heading, cells)), cells);
  }));
});

Deno.test("where the grid prints 0, it says that this is not never", () => {
  const textOf = (second: string) => {
    const shown = gridTable(heading, [{ ...cell, printed: { ...cell.printed!, second } }]);
    const study = { groups: { by: "intended", ...labels } };
    const place = { model: { study, items: { figures: [] } }, href: String };
    return htmlText(gridTree({ item: shown } as never, place as never));
  };
  match(textOf("0"), /Where 0 stands, some would fit the data too\./);
  doesNotMatch(textOf("2"), /Where 0 stands/);
});

Deno.test("the grid and the ledger print words of the plan, not the names that programs go by", () => {
  const shown = gridTable(heading, [cell, { ...cell, verdict: "uncertain" }]);
  const printed = printedColumns(shown);
  deepEqual(printed.map(({ label }) => label), [
    "Patients",
    "Status",
    "Number",
    "Quantity",
    "Years",
    "Repair",
    "Replacement",
    "Difference",
    "95% from",
    "to",
    "What the limits say",
    "Why no number",
  ]);
  const words = shown.rows.map((row) => cellText(shown, printed.at(-2)!, row));
  deepEqual(words, ["better: replacement", "not settled"]);
  const ledger = ledgerTable(heading, []);
  deepEqual(printedColumns(ledger).filter(({ key }) => key === "id"), []);
});

Deno.test("ledgerLines() takes apart what ledgerTable() put together, gaps among it", () => {
  const nothing = {
    first: null,
    second: null,
    difference: null,
    lower: null,
    upper: null,
    printed: null,
  };
  const lines = [
    {
      id: "alive",
      label: "Alive",
      when: "at 5 years",
      unit: "of 100" as const,
      first: 81,
      second: 78,
      difference: 3,
      lower: -2,
      upper: 8,
      printed: { first: "81", second: "78", change: "3 more", range: "2 fewer to 8 more" },
      instead: "",
      goodIfMore: true,
    },
    {
      id: "late-stroke",
      label: "Stroke after 30 days",
      when: "at 5 years",
      unit: "of 100" as const,
      ...nothing,
      instead: "not in the file",
      goodIfMore: false,
    },
  ];
  deepEqual(ledgerLines(ledgerTable(heading, lines)), lines);
});
