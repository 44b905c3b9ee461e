import assert from "node:assert/strict";
import fc from "fast-check";
import type { TableItem } from "../../../lib/report/model/mod.ts";
import { type DocumentTables, tablesDocx } from "../../../lib/report/word/mod.ts";
import type { WrittenTables } from "../../../lib/report/word-file/mod.ts";

function shownOf(tables: readonly Partial<TableItem>[]): DocumentTables {
  const item = (given: Partial<TableItem>, k: number): TableItem => ({
    kind: "table",
    id: `t-${k}`,
    title: `Title ${k}`,
    caption: "All patients.",
    status: "planned",
    columns: [{ key: "group", label: "Group" }, { key: "n", label: "Died" }],
    rows: [{ group: "Repair", n: 12 }],
    ...given,
  });
  return {
    centre: "A hospital",
    title: "A study",
    tables: tables.map((given, k) => ({ item: item(given, k), number: k + 1 })),
    figures: [{ item: { title: "A curve", caption: "All patients." }, number: 1 }],
  };
}

const rows = fc.array(
  fc.record({
    group: fc.oneof(fc.string(), fc.constantFrom("<w:tbl>", "</w:tbl>", "a\0b", "  indented")),
    n: fc.option(fc.integer()),
  }),
  { minLength: 1, maxLength: 4 },
);

Deno.test("a document is the same to the byte whichever of its tables were written before", async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(rows, { minLength: 1, maxLength: 4 }),
      fc.array(fc.boolean(), { minLength: 4, maxLength: 4 }),
      async (tables, isKept) => {
        const shown = shownOf(tables.map((rows) => ({ rows })));
        const whole = await tablesDocx(shown);
        const kept = new Map([...whole.tables].filter((_, k) => isKept[k]));
        const again = await tablesDocx(shown, kept);
        assert.deepEqual(again.bytes, whole.bytes);
        assert.deepEqual(new Map([...again.tables].sort()), new Map([...whole.tables].sort()));
      },
    ),
    { numRuns: 40 },
  );
});

Deno.test("a table that was written before is put in as it is; words around it are new", async () => {
  const { tables } = await tablesDocx(shownOf([{}]));
  const [key] = [...tables.keys()];
  assert.ok(key);
  const marked: WrittenTables = new Map([[key, "<w:tbl><w:kept/></w:tbl>"]]);
  const { bytes, tables: used } = await tablesDocx(shownOf([{ title: "New words" }]), marked);
  const body = await bodyOf(bytes);
  assert.match(body, /New words[^]*<w:tbl><w:kept\/><\/w:tbl>/);
  assert.deepEqual(used, marked);
  const other = [{ group: "Repair", n: 13 }];
  assert.doesNotMatch(
    await bodyOf((await tablesDocx(shownOf([{ rows: other }]), marked)).bytes),
    /kept/,
  );
});

Deno.test("a text that is a table's key stays a text", async () => {
  const { tables } = await tablesDocx(shownOf([{}]));
  const [key = ""] = [...tables.keys()];
  const { bytes } = await tablesDocx(shownOf([{ title: key, caption: key, notes: [key] }]), tables);
  const body = await bodyOf(bytes);
  assert.equal(body.split(key).length, 4);
  assert.equal(body.split("<w:tbl>").length, 2);
});

async function bodyOf(docx: Uint8Array): Promise<string> {
  const { unzipSync } = await import("fflate");
  return new TextDecoder().decode(unzipSync(docx)["word/document.xml"]);
}
