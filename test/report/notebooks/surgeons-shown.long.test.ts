import assert from "node:assert/strict";
import { join } from "node:path";
import { describeFailure } from "../../../lib/report/notebooks/notebook.ts";
import { type PlanJson, writeCut } from "../../hostile/cut-cohort.ts";
import { quickReport } from "../workspace.ts";

const notebook = new URL("../../../notebooks/13-programme.ipynb", import.meta.url);
// excluded.csv is the group's own list and never shared
const shared = (path: string) =>
  /\.(html|csv|svg|json|txt|ipynb|md)$/.test(path) && !path.endsWith("excluded.csv");

/** Reports on the programme alone, and gives every shared text by its path. */
async function texts(change: (programme: Record<string, unknown>) => void) {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const study = await writeCut(folder, {
      rows: (patients, visits) => [
        patients.map((row) => ({ ...row, surgeon: (row.surgeon ?? "").replace("S", "Zqx") })),
        visits,
      ],
      plan: (plan: PlanJson) => {
        const programme = plan.programme as Record<string, unknown>;
        programme.doneBefore = Object.fromEntries(
          Object.entries(programme.doneBefore as Record<string, number>)
            .map(([surgeon, done]) => [surgeon.replace("S", "Zqx"), done]),
        );
        change(programme);
      },
    });
    const notebooks = join(folder, "notebooks");
    await Deno.mkdir(notebooks);
    await Deno.copyFile(notebook, join(notebooks, "13-programme.ipynb"));
    const out = join(folder, "out");
    const { model } = await quickReport({ study, out, notebooks });
    assert.deepEqual(model.failures.map(describeFailure), []);
    return await read(out);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

async function read(folder: string, under = ""): Promise<Map<string, string>> {
  const found = new Map<string, string>();
  for await (const { name, isDirectory } of Deno.readDir(join(folder, under))) {
    const path = join(under, name);
    if (isDirectory) { for (const [own, text] of await read(folder, path)) found.set(own, text); }
    else if (shared(path)) found.set(path, await Deno.readTextFile(join(folder, path)));
  }
  return found;
}

const single = /\bSurgeon\s+\d/;
// codes of surgeons, such as initials, which nothing else is called
const code = /\bZqx\d/;
const files = ["findings.json", "report.html", "supplement.html"];

// What is shared has no row, point or word of a single surgeon unless the study file asks for it,
// and never the codes of the file.
Deno.test("single surgeons are in nothing that is shared unless the study file asks", async () => {
  const off = await texts((programme) => delete programme.showSurgeons);
  for (const name of files) assert.ok(off.has(name), name);
  for (const [path, text] of off) {
    assert.doesNotMatch(text, single, path);
    assert.doesNotMatch(text, code, path);
  }
  assert.ok(![...off.keys()].some((path) => /programme-(funnel(?!-power)|surgeons)/.test(path)));
  // and the section is whole without them: rates, what surgeons differ by, bands of volume, years
  const supplement = off.get("supplement.html")!;
  assert.match(supplement, /does not have results of single surgeons shown/);
  assert.match(supplement, /Of 9 surgeons or groups of surgeons/);
  for (
    const id of ["rates", "durable", "referral", "learning", "changes", "hardest", "score-quality"]
  ) assert.ok(off.has(join("tables", `programme-${id}.csv`)), id);
  for (const id of ["concentration", "monitoring", "years", "years-durable"]) {
    assert.ok(off.has(join("figures", `programme-${id}.svg`)), id);
  }
});

Deno.test("single surgeons are shown under neutral labels where the study file asks, and it says so", async () => {
  const on = await texts(() => {});
  assert.match(on.get(join("tables", "programme-surgeons.csv"))!, single);
  for (const id of ["funnel", "funnel-target"]) {
    assert.match(on.get(join("figures", `programme-${id}.svg`))!, single);
  }
  assert.match(
    on.get("supplement.html")!,
    /Single surgeons are shown, under neutral labels, as the study file asks \(surgeons and patients are invented\)/,
  );
  for (const [path, text] of on) assert.doesNotMatch(text, code, path);
});
