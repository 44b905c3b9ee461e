import { checklist } from "./checklist.ts";
import type { ChecklistLine } from "./evidence.ts";
import { targetChecklist } from "./target-checklist.ts";
import { scrolling } from "../page/mod.ts";
import type { ReportModel } from "../model/mod.ts";
import { type Content, h } from "../tree/mod.ts";

/** The reporting checklist as a table: each item with links to where it is met, or "not met". */
export function checklistTree(model: ReportModel): Content {
  const lines = [...checklist(model), ...targetChecklist(model)];
  const met = lines.filter(({ evidence }) => evidence && !evidence.lacks).length;
  const part = lines.filter(({ evidence }) => evidence?.lacks).length;
  const rows = lines.map((line) =>
    h(
      "tr",
      {},
      h("th", { scope: "row" }, line.item),
      h("td", {}, line.asks),
      h("td", {}, whereMet(line)),
    )
  );
  return [
    h(
      "p",
      {},
      "What published guidance asks of a report on a cohort: STROBE (von Elm and others, Lancet " +
        "2007;370:1453-1457), from R on its extension to routinely collected data, RECORD " +
        "(Benchimol and others, PLoS Med 2015;12:e1001885), and from T on the statement on " +
        "emulated target trials, TARGET (Cashin and others, JAMA 2025;334:1084-1093), shortened. " +
        `${met} of ${lines.length} are met here, ${part} in part. What only an author can supply ` +
        "is not met.",
    ),
    h(
      "figure.table.long",
      {},
      scrolling(
        "Reporting checklist",
        h(
          "table.checklist",
          {},
          h(
            "thead",
            {},
            h(
              "tr",
              {},
              ["Item", "Asks for", "Where"].map((label) => h("th", { scope: "col" }, label)),
            ),
          ),
          h("tbody", {}, rows),
        ),
      ),
    ),
  ];
}

/** What stands in the article alone. */
const articleAnchors = new Set(["answer", "cannot-tell", "how-sure", "question"]);

function whereMet({ evidence }: ChecklistLine): Content {
  if (!evidence) return h("b.unmet", {}, "not met");
  const links = evidence.links.map(({ anchor, text }, i) => [
    i > 0 && ", ",
    h("a", { href: articleAnchors.has(anchor) ? `report.html#${anchor}` : `#${anchor}` }, text),
  ]);
  return evidence.lacks ? ["in part: ", links, `; lacks ${evidence.lacks}`] : links;
}
