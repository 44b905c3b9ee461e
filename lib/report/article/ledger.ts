import type { Placed, TableItem } from "../model/mod.ts";
import { type LedgerLine, ledgerLines, shortNames } from "../pair-tables/mod.ts";
import { type Element, h } from "../tree/mod.ts";
import { statusBadge } from "../page/mod.ts";
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
          h("th", { scope: "col" }, "Plausible range of the difference"),
        ),
      ),
      h("tbody", {}, ledgerLines(item).map(lineTree)),
    ),
    { over: statusBadge(item.status) },
  );
}

function lineTree(line: LedgerLine): Element {
  const { label, when, unit, printed, instead } = line;
  const about = [when, unit === "days" ? unit : ""].filter((word) => word !== "").join(", ");
  return h(
    "tr",
    { class: instead !== "" && "absent" },
    h("th", { scope: "row" }, label, h("span.unit", {}, ` ${about}`)),
    printed
      ? [
        h("td.amount", {}, printed.first),
        h("td.amount", {}, printed.second),
        h("td", {}, printed.range),
      ]
      : h("td", { colspan: 3 }, instead),
  );
}
