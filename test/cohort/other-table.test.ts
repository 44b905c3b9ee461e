import assert from "node:assert/strict";
import { join } from "node:path";
import { ProblemsError } from "../../lib/study/problems/mod.ts";
import { openStudy, otherTable, type Study } from "../../lib/mod.ts";
import { otherTableProblems } from "../../lib/cohort/others/mod.ts";
import { validateStudy } from "../../lib/report/validate/validation.ts";
import { demoStudy } from "../../lib/report/sandbox/mod.ts";

/** The demonstration's study with these tables beside its own, by their names in it. */
async function beside(
  others: Record<string, string>,
  use: (study: Study) => Promise<void>,
): Promise<void> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const plan = JSON.parse(await Deno.readTextFile(demoStudy));
    const demo = (name: string) => join(demoStudy, "..", name);
    for (const file of ["cohort", "visits", "lifeTable"]) plan.files[file] = demo(plan.files[file]);
    plan.files.others = {};
    for (const [name, text] of Object.entries(others)) {
      plan.files.others[name] = `${name}.csv`;
      await Deno.writeTextFile(join(folder, `${name}.csv`), text);
    }
    plan.files.others.nowhere = "nowhere.csv";
    await Deno.writeTextFile(join(folder, "study.json"), JSON.stringify(plan));
    await use(await openStudy(join(folder, "study.json")));
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

const rings = "model;size;area\nA;28;5,1\nB;;6,2\nA;32;\n";

Deno.test("otherTable() gives columns: numbers where every filled cell is one, null where blank", async () => {
  await beside({ rings }, async (study) => {
    assert.deepEqual(await otherTable(study, "rings"), {
      model: ["A", "B", "A"],
      size: [28, null, 32],
      area: [5.1, 6.2, null],
    });
  });
});

Deno.test("otherTable() names what is wrong, and no value", async () => {
  const tables = {
    rings,
    twice: "a,b,a\n1,2,3\n",
    empty: "",
    people: "model,phone\nA,+44 20 7946 0018\n",
  };
  await beside(tables, async (study) => {
    const why = (name: string) =>
      otherTable(study, name).then(
        () => assert.fail(`${name} was read`),
        (error) => (assert.ok(error instanceof ProblemsError), error.message),
      );
    assert.match(
      await why("valves"),
      /names no table "valves"; those it names: rings, twice, empty, people, nowhere/,
    );
    assert.match(await why("constructor"), /names no table "constructor"/);
    assert.match(await why("twice"), /files\.others\.twice: column 3 has no heading of its own/);
    assert.match(await why("empty"), /files\.others\.empty: /);
    assert.match(await why("nowhere"), /files\.others\.nowhere: /);
    const people = await why("people");
    assert.match(people, /files\.others\.people: phone, first on line 2: .*telephone/);
    assert.ok(!people.includes("7946"), people);
    assert.deepEqual(
      (await otherTableProblems(study)).map(({ where }) => where),
      ["twice", "empty", "people", "nowhere"].map((name) => `files.others.${name}`),
    );
    // what the report would refuse, the check before it says
    const { groups } = await validateStudy({ study: study.path });
    assert.deepEqual(
      groups.filter(({ severity }) => severity === "structural").map(({ column }) => column),
      ["twice", "empty", "people", "nowhere"].map((name) => `files.others.${name}`),
    );
  });
});
