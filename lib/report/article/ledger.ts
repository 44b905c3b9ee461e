import type { Placed, TableItem } from "../model/mod.ts";
import { formatNumber } from "../../words/mod.ts";
import { type LedgerLine, ledgerLines, shortNames } from "../tables/mod.ts";
import { type Element, h } from "../tree/mod.ts";
import { rangeWords } from "./change-words.ts";
import { columnLabel, frontTable } from "./front-table.ts";

/**
 * Benefit and harm of both groups side by side; what the file does not hold has its line as well.
 */
export function ledgerTree({ item }: Placed<TableItem>): Element {
  const [first, second] = shortNames(columnLabel(item, "first"), columnLabel(item, "second"));
  return frontTable(
    item,
    h(
      "table.ledger",
      {},
      h(
        "thead",
        {},
        h(
          "tr",
          {},
          h("th", { scope: "col" }, "Of 100 patients"),
          h("th.amount", { scope: "col" }, first),
          h("th.amount", { scope: "col" }, second),
          h("th", { scope: "col" }, "Difference and plausible range"),
        ),
      ),
      h("tbody", {}, ledgerLines(item).map(lineTree)),
    ),
  );
}

function lineTree(line: LedgerLine): Element {
  const { label, when, unit, first, second, lower, upper, instead } = line;
  const about = [when, unit === "of 100" ? "" : unit].filter((word) => word !== "").join(", ");
  const amount = (value: number | null) =>
    h("td.amount", {}, value === null ? "–" : formatNumber(value, { digits: 0 }));
  return h(
    "tr",
    { class: instead !== "" && "absent" },
    h("th", { scope: "row" }, label, h("span.unit", {}, ` ${about}`)),
    instead !== "" && first === null ? h("td", { colspan: 3 }, instead) : [
      amount(first),
      amount(second),
      h("td", {}, lower !== null && upper !== null ? rangeWords(lower, upper) : instead),
    ],
  );
}
