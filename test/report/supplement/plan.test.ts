import assert from "node:assert/strict";
import { parseHTML } from "linkedom";
import { checklist } from "../../../lib/report/supplement/checklist.ts";
import { plannedButNotDone, plannedResults } from "../../../lib/report/model/plan-status.ts";
import { filesBelow, quickReport, withWorkspace } from "../workspace.ts";

const shown = (id: string) =>
  `({ kind: "table", id: "${id}", title: "T", caption: "", status: "planned", ` +
  `columns: [{ key: "years", label: "Years" }, { key: "a", label: "A" }], ` +
  `rows: [5, 5, 5, 10].map((years) => ({ years, a: 1 })) })`;

Deno.test("the report holds the plan against what was shown, and links numbers to rows", async () => {
  await withWorkspace({
    "01-a": [
      'import { finding, note } from "mitral";',
      shown("survival-whole-table"),
      // what a cell says of itself does not count
      shown("mine"),
      shown("characteristics"),
      `const group = (label: string, estimate: number) => ({ label, estimate, lower: 0.5, upper: 0.9, n: 9 });
finding({ id: "f", endpoint: "death", quantity: "alive", horizon: 5, design: "matched",
  estimand: "matched sample", groups: [group("repair", 0.71), group("replacement", 0.69)],
  difference: { estimate: 0.71 - 0.69, lower: -0.04, upper: 0.08 },
  tableId: "mine", headline: true })`,
      'note({ id: "s", about: "summary", text: "Nobody was studied." })',
    ],
  }, async ({ study, notebooks, out }) => {
    const { model } = await quickReport({ study, notebooks, out });
    assert.deepEqual(model.failures, []);
    const done = plannedResults(model).filter(({ anchor }) => anchor !== undefined);
    assert.deepEqual(done, [
      { id: "characteristics", anchor: "table-characteristics", title: "T" },
      { id: "survival-whole", anchor: "table-survival-whole-table", title: "T" },
    ]);
    assert.ok(plannedButNotDone(model).includes("recurrence-matched"));

    const files = await filesBelow(out);
    const { document } = parseHTML(files.get("supplement.html") ?? "");
    const article = parseHTML(files.get("report.html") ?? "").document;
    const badge = (id: string) => document.querySelector(`#table-${id} .badge`)?.textContent;
    assert.equal(badge("survival-whole-table"), "planned");
    assert.equal(badge("mine"), "exploratory");
    assert.equal(badge("characteristics"), "planned");
    assert.match(
      document.querySelector("#deviations + p + ul")?.textContent ?? "",
      /Planned but not done: flow/,
    );
    assert.match(
      document.querySelector("#notebook-01-a h2")?.textContent ?? "",
      /Nobody was studied/,
    );

    // by hand: rows of year 5 are the first three
    const numbers = [...article.querySelectorAll(".answer a.number")];
    assert.deepEqual(numbers.map((link) => [link.textContent, link.getAttribute("href")]), [
      ["71", "#row-mine-1"],
      ["69", "#row-mine-2"],
      ["4 fewer to 8 more", "#row-mine-3"],
    ]);
    for (const link of document.querySelectorAll('a[href^="#"]')) {
      const anchor = link.getAttribute("href")?.slice(1) ?? "";
      assert.ok(document.getElementById(anchor), `${anchor} leads nowhere`);
    }

    // nothing that is not there counts as met
    const lines = checklist(model);
    const at = (item: string) => lines.find((line) => line.item === item)?.evidence;
    assert.equal(at("13c"), undefined);
    assert.equal(at("22"), undefined);
    assert.deepEqual(at("14a")?.links, [{ anchor: "table-characteristics", text: "table S3" }]);
    for (const { evidence } of lines) {
      for (const { anchor } of evidence?.links ?? []) {
        assert.ok(document.getElementById(anchor) ?? article.getElementById(anchor), anchor);
      }
    }
  });
});
