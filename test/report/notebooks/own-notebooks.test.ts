import assert from "node:assert/strict";
import { basename, join } from "node:path";
import { notebooksOf, previewed, readNotebooks } from "../../../lib/report/snapshot/mod.ts";
import { validateStudy } from "../../../lib/report/validate/validation.ts";
import { type CellSource, makeNotebook } from "./make-notebook.ts";
import { quickReport } from "../workspace.ts";

const table = (id: string): CellSource[] => [
  { markdown: `# ${id}` },
  `import * as mitral from "mitral";\nawait mitral.openStudy();`,
  `mitral.table({ id: "${id}", title: "T", caption: "C",
  columns: [{ key: "a", label: "A" }], rows: [{ a: "x" }] })`,
];

const own: Record<string, string> = {
  "own/b-second.ipynb": makeNotebook(table("second")),
  "own/a-first.ipynb": makeNotebook(table("first")),
  "rings/ring-size.ipynb": makeNotebook([
    ...table("rings").slice(0, 2),
    `const { size = [] } = await mitral.otherTable(await mitral.openStudy(), "rings");
mitral.table({ id: "rings", title: "T", caption: "C",
  columns: [{ key: "a", label: "A" }], rows: [{ a: \`sizes \${size.join(" and ")}\` }] })`,
  ]),
  "rings/broken.ipynb": "{",
  "rings/two words.ipynb": makeNotebook(table("words")),
  "beside.ipynb": makeNotebook(table("beside")),
  "twice/ring-size.ipynb": makeNotebook(table("again")),
};

const tables = (folder: string) => ({
  cohortPath: join(folder, "patients.csv"),
  visitsPath: join(folder, "echo-visits.csv"),
  otherPaths: { rings: join(folder, "private", "rings.csv") },
});

/** The demonstration's plan with these notebooks, beside some of its own. */
async function withOwn(
  notebooks: unknown,
  use: (study: string, folder: string) => Promise<void>,
): Promise<void> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const plan = JSON.parse(
      await Deno.readTextFile(new URL("../../../data-demo/study.json", import.meta.url)),
    );
    plan.notebooks = notebooks;
    plan.planned = ["rings"];
    delete plan.files.lifeTable;
    plan.files.others = { rings: "private/rings.csv" };
    await Deno.mkdir(join(folder, "private"));
    await Deno.writeTextFile(join(folder, "private", "rings.csv"), "model,size\nA,28\nB,32\n");
    await Deno.writeTextFile(join(folder, plan.files.cohort), "id,age\n1,60\n");
    await Deno.writeTextFile(join(folder, plan.files.visits), "id,day\n1,9\n");
    for (const name of ["own", "rings", "twice"]) await Deno.mkdir(join(folder, name));
    for (const [name, text] of Object.entries(own)) {
      await Deno.writeTextFile(join(folder, name), text);
    }
    const study = join(folder, "study.json");
    await Deno.writeTextFile(study, JSON.stringify(plan));
    await use(study, folder);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

Deno.test("notebooksOf() takes the study's order, files and folders of its own among the project's", async () => {
  await withOwn(["standard"], async (path, folder) => {
    const names = async (notebooks: string[]) =>
      (await notebooksOf({ notebooks, path, ...tables(folder) })).map((file) =>
        basename(file, ".ipynb")
      );
    assert.deepEqual(
      await names(["02-balance", "own/", "rings/ring-size.ipynb", "01-cohort"]),
      ["02-balance", "a-first", "b-second", "ring-size", "01-cohort"],
    );
    const standard = await names(["standard"]);
    assert.equal(standard[0], "01-cohort");
    assert.deepEqual(await names(["own/a-first.ipynb", "standard"]), ["a-first", ...standard]);
  });
});

Deno.test("notebooksOf() names every entry that cannot be", async () => {
  await withOwn(["standard"], async (path, folder) => {
    const notebooks = [
      "01-cohort",
      "99-nothing",
      "nowhere/",
      "rings/broken.ipynb",
      "rings/two words.ipynb",
      "rings/ring-size.ipynb",
      "twice/",
      "standard",
      "beside.ipynb",
    ];
    const found = await notebooksOf({ notebooks, path, ...tables(folder) }).then(
      () => "",
      (error) => error.message,
    );
    assert.match(found, /^Cannot find the notebooks: 7 problems/);
    assert.match(found, /notebooks\[1\]: must be standard, .*found none for "99-nothing"/);
    assert.match(found, /notebooks\[2\]: .*found none for "nowhere\/"/);
    assert.match(found, /notebooks\[3\]: .*it is not JSON/);
    assert.match(found, /notebooks\[4\]: .*"two words"/);
    assert.match(found, /notebooks\[6\]: .*"ring-size" comes twice/);
    assert.match(found, /notebooks\[7\]: .*"01-cohort" comes twice/);
    assert.match(found, /notebooks\[8\]: must lie in a folder that the study's files are not in/);
  });
});

Deno.test("a preview has the project's shortest notebooks and all of the study's own", async () => {
  await withOwn(["standard"], async (path, folder) => {
    const ids = async (notebooks: string[]) => {
      const all = await readNotebooks(await notebooksOf({ notebooks, path, ...tables(folder) }));
      return previewed(all.notebooks).map(({ id }) => id);
    };
    assert.deepEqual(await ids(["standard", "own/", "rings/ring-size.ipynb"]), [
      "01-cohort",
      "02-balance",
      "03-survival",
      "05-reoperation",
      "a-first",
      "b-second",
      "ring-size",
    ]);
    assert.deepEqual(await ids(["own/a-first.ipynb"]), ["a-first"]);
    // a preview of nothing would help nobody
    assert.deepEqual(await ids(["04-recurrence"]), ["04-recurrence"]);
  });
});

Deno.test("a report is made of the notebooks that the study names, and its plan marks their results", async () => {
  await withOwn(["rings/ring-size.ipynb", "own/"], async (study, folder) => {
    const out = join(folder, "out");
    const { model } = await quickReport({ study, out });
    assert.deepEqual(model.failures, []);
    assert.deepEqual(model.runs.map(({ notebook }) => notebook.id), [
      "ring-size",
      "a-first",
      "b-second",
    ]);
    assert.deepEqual(model.items.tables.map(({ item }) => item.id), ["rings", "first", "second"]);
    assert.deepEqual(model.items.tables[0]?.item.rows, [{ a: "sizes 28 and 32" }]);
    const { inputs } = JSON.parse(await Deno.readTextFile(join(out, "manifest.json")));
    const [table] = inputs.filter(({ role }: { role: string }) => role === "table rings");
    assert.deepEqual([table.name, table.bytes], ["rings.csv", 21]);
    assert.match(await Deno.readTextFile(join(out, "supplement.html")), /Table “rings”/);
    const findings = JSON.parse(await Deno.readTextFile(join(out, "findings.json")));
    // folders of the study's own say more than they should
    assert.deepEqual(findings.plan.notebooks, ["ring-size.ipynb", "own"]);
    assert.deepEqual(findings.plan.files.others, { rings: "rings.csv" });
    const status = (id: string) =>
      findings.tables.find((one: { id: string }) => one.id === id).status;
    assert.deepEqual([status("rings"), status("first")], ["planned", "exploratory"]);
  });
});

Deno.test("validate lists notebooks that cannot be found with what else is wrong", async () => {
  await withOwn(["standard", "rings.ipynb"], async (study) => {
    const { groups, code } = await validateStudy({ study });
    const [first] = groups;
    assert.deepEqual([first?.severity, first?.file, first?.column, code], [
      "structural",
      "study file",
      "notebooks[1]",
      2,
    ]);
    assert.ok(groups.length > 1, "the tables were checked too");
  });
});
