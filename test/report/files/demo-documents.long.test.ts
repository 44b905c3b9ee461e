import assert from "node:assert/strict";
import { join } from "node:path";
import { parse } from "csv-parse/sync";
import { parseHTML } from "linkedom";
import { demoReport } from "../../demo-report.ts";
import { findingsSchema } from "../../../lib/report/files/findings-json.ts";

const report = demoReport();
const read = async (...path: string[]) => await Deno.readTextFile(join(await report, ...path));
const documents = ["report.html", "supplement.html", "brief.html"];

Deno.test("every table of the demonstration has headings that no two columns share", async () => {
  let seen = 0;
  for (const { name } of Deno.readDirSync(join(await report, "tables"))) {
    if (!name.endsWith(".csv")) continue;
    seen++;
    const [headings = []]: string[][] = parse(await read("tables", name));
    assert.ok(headings.every((text) => text.trim() !== ""), name);
    assert.deepEqual(headings.filter((text, i) => headings.indexOf(text) !== i), [], name);
  }
  assert.ok(seen > 40, `${seen} tables`);
});

Deno.test("no cell of the demonstration's documents prints a name that only programs go by", async () => {
  const { tables } = findingsSchema.parse(JSON.parse(await read("findings.json")));
  const names = new Set(
    tables.flatMap(({ columns, rows }) =>
      columns.filter(({ onlyInFiles }) => onlyInFiles).flatMap(({ key }) =>
        rows.map((row) => String(row[key] ?? ""))
      )
    ).filter((name) => /^[a-z]+(-[a-z]+)+$/.test(name)),
  );
  assert.ok(names.size > 5, [...names].join(", "));
  for (const name of documents) {
    const { document } = parseHTML(await read(name));
    const printed = [...document.querySelectorAll("td, th")].map((cell) =>
      (cell.textContent ?? "").trim()
    );
    assert.deepEqual(printed.filter((text) => names.has(text)), [], name);
  }
});

Deno.test("no figure of the demonstration is described in unrounded numbers", async () => {
  let seen = 0;
  for (const name of documents) {
    const { document } = parseHTML(await read(name));
    const texts = [
      ...[...document.querySelectorAll("title, desc")].map((one) => one.textContent ?? ""),
      ...["alt", "title", "aria-label"].flatMap((attribute) =>
        [...document.querySelectorAll(`[${attribute}]`)].map((one) =>
          one.getAttribute(attribute) ?? ""
        )
      ),
    ];
    seen += texts.length;
    assert.deepEqual(texts.filter((text) => /\d\.0*[1-9]\d{4,}/.test(text)), [], name);
    // the two sides of a threshold are told with the threshold
    assert.deepEqual(texts.filter((text) => /\. (Yes|No): /.test(text)), [], name);
  }
  assert.ok(seen > 100, `${seen} texts`);
});
