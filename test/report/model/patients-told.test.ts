import { equal, ok } from "node:assert/strict";
import { tellPatients, tellsPatients } from "../../../lib/report/model/patients-told.ts";
import type { FigureItem, TableItem } from "../../../lib/report/items/mod.ts";

function tableOf(id: string, caption: string, label = "Estimate", rows: TableItem["rows"] = []) {
  const columns = [{ key: "group", label: "Group" }, { key: "patients", label }];
  const item: TableItem = {
    ...{ kind: "table", id, title: "T", caption, columns, rows },
    status: "exploratory",
  };
  return { item };
}

const figureOf = (id: string, caption: string) => ({
  item: { kind: "figure", id, title: "T", caption, alt: "A", svg: "<svg/>" } as FigureItem,
});

const sizes = [{ group: "Repair", patients: 900 }, { group: "Replacement", patients: 400 }];

Deno.test("tellsPatients() finds a number of patients, and takes no rate for one", () => {
  const told = (caption: string, label?: string) =>
    tellsPatients(tableOf("a", caption, label).item);
  ok(told("1,607 patients; results among all."));
  ok(told("383 pairs."));
  ok(told("Weighted.", "Patients"));
  ok(told("Weighted.", "Repair (n\u00a0=\u00a01,036)"));
  ok(!told("Alive, per 100 patients; weighted."));
  ok(!told("Limits keep the patients of 9 surgeons together."));
  ok(!told("The smaller group had fewer than 10 patients for each.", "Effective at risk"));
});

Deno.test("tellPatients() adds how many there are, once, where they are not told", () => {
  const tables = [
    tableOf("completeness", "Follow-up.", "Patients", sizes),
    tableOf("two-quantities", "Weighted."),
    tableOf("hazard-ratios", "Of 200 patients, drawn at random."),
    tableOf("own-table", "Of rings."),
  ];
  const figures = [
    figureOf("ratio-over-time", "Weighted."),
    figureOf("ventricle-decision", "Risk."),
  ];
  const before = figures[0]!.item;
  tellPatients({ tables, figures });
  tellPatients({ tables, figures });
  equal(
    tables[1]!.item.caption,
    "Weighted. Of 1,300 patients analysed, those at risk of recurrence.",
  );
  equal(tables[2]!.item.caption, "Of 200 patients, drawn at random.");
  equal(tables[3]!.item.caption, "Of rings.");
  equal(figures[0]!.item.caption, "Weighted. All 1,300 patients analysed.");
  equal(before.caption, "Weighted.", "what the run gave is left as it is");
  equal(
    figures[1]!.item.caption,
    "Risk. Of 1,300 patients analysed, those measured before and about a year after.",
  );
});

Deno.test("tellPatients() says of measured patients how many, as far as it is published", () => {
  const change = tableOf("ventricle-change", "Means.", "Patients");
  change.item.rows = [{ group: "Repair", n: 420 }, { group: "Replacement", n: null }];
  const tables = [tableOf("completeness", "F.", "Patients", sizes), change];
  const figures = [figureOf("ventricle-decision", "Risk.")];
  tellPatients({ tables, figures });
  ok(figures[0]!.item.caption.endsWith("about a year after: 420 (repair)."));
});

Deno.test("tellPatients() says nothing where nobody was counted", () => {
  const tables = [tableOf("two-quantities", "Weighted.")];
  tellPatients({ tables, figures: [] });
  equal(tables[0]!.item.caption, "Weighted.");
});
