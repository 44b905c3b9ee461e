import assert from "node:assert/strict";
import { join } from "node:path";
import { partFrom, partText } from "../../../lib/report/parts/part-file.ts";
import { replicatesFrom, replicatesText } from "../../../lib/sensitivity/bootstrap/mod.ts";
import { filesBelow, quickReport } from "../workspace.ts";
import { makeNotebook } from "../notebooks/make-notebook.ts";

const cell = `
const mitral = await import("mitral");
const { study, analysis } = await mitral.openAnalysis();
const followUp = mitral.followUpOf(analysis, "death");
const weighting = mitral.weightedSample(analysis, study);
const { propensity } = weighting;
const matched = mitral.pairedFollowUp(
  followUp,
  mitral.matchedSample(analysis, study, { propensity }),
);
const lines = await mitral.repeatedProcedure(analysis, {
  ...{ study, followUp, time: study.mainHorizon, matched },
  weighted: mitral.underWeights(followUp, weighting),
  whom: { matched: "in pairs", weighted: "weighted" },
});
mitral.repeatedTable({
  ...{ id: "repeated", title: "T", caption: "C", confidence: study.confidence },
}, lines)`;

const betweenVisits = `
const between = await mitral.recurrenceBetweenVisits(analysis, study);
console.log(between.found.replacement >= 5, JSON.stringify(between.contrasts));`;

/** Every second patient of the demonstration, few sets and few replicates. */
async function withFewer(use: (study: string, folder: string) => Promise<void>): Promise<void> {
  const demo = new URL("../../../data-demo/", import.meta.url);
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const plan = JSON.parse(await Deno.readTextFile(new URL("study.json", demo)));
    plan.missing.sets = 5;
    plan.bootstrap.replicates = 40;
    const linesOf = async (name: string) =>
      (await Deno.readTextFile(new URL(name, demo))).trimEnd().split("\n");
    const idOf = (line: string) => line.slice(0, line.indexOf(","));
    const patients = (await linesOf("patients.csv")).filter((_, i) => i % 2 === 0);
    const ids = new Set(patients.map(idOf));
    const visits = (await linesOf("echo-visits.csv")).filter((line) => ids.has(idOf(line)));
    await Deno.writeTextFile(join(folder, "study.json"), JSON.stringify(plan));
    await Deno.copyFile(new URL("life-table.csv", demo), join(folder, "life-table.csv"));
    await Deno.writeTextFile(join(folder, "patients.csv"), `${patients.join("\n")}\n`);
    await Deno.writeTextFile(join(folder, "echo-visits.csv"), `${visits.join("\n")}\n`);
    await Deno.mkdir(join(folder, "notebooks"));
    await Deno.writeTextFile(
      join(folder, "notebooks", "08-again.ipynb"),
      makeNotebook([cell, betweenVisits]),
    );
    await use(join(folder, "study.json"), folder);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

Deno.test("parts of an array job make the report that is made without them, to the last bit", () =>
  withFewer(async (study, folder) => {
    const cli = new URL("../../../lib/report/parts/cli.ts", import.meta.url);
    const out = join(folder, "array");
    const part = async (...args: string[]) => {
      const { code, stdout, stderr } = await new Deno.Command(Deno.execPath(), {
        args: [
          ...["run", "--no-check", "--no-prompt", "--allow-read", "--allow-write", cli.href],
          ...["--study", study, "--out", out, "--workers", "1", ...args],
        ],
      }).output();
      const text = (bytes: Uint8Array) => new TextDecoder().decode(bytes);
      return { code, said: text(stdout) + text(stderr) };
    };
    const run = async (to: string) => {
      const steps: string[] = [];
      await quickReport({
        ...{ study, out: to, notebooks: join(folder, "notebooks"), fresh: true },
        progress: { step: (text) => steps.push(text), cell: () => {}, done: () => {} },
      });
      const files = await filesBelow(to);
      const notebook = files.get("notebooks/08-again.ipynb") ?? "";
      const visits = /"(true|false) .*?difference.*/.exec(notebook)?.[0];
      return { steps, table: files.get("tables/repeated.csv"), visits };
    };
    const plain = await run(join(folder, "plain"));
    assert.match(plain.table ?? "", /Months of life/);
    assert.match(plain.visits ?? "", /^"true .*standardError/, "recurrence between visits");
    for (const place of ["2/3", "1/3", "3/3"]) {
      const { code, said } = await part("--of", "sets", "--part", place);
      assert.equal(code, 0, said);
    }
    const first = await part("--part", "2/2");
    assert.equal(first.code, 0, first.said);
    assert.match(first.said, /1 of 2 parts are there\. Next: part 1\/2/);
    const early = await run(out);
    assert.ok(early.steps.includes("The 3 parts of the sets are used."), early.steps.join("\n"));
    assert.ok(early.steps.some((step) => /1 of 2 parts of the limits are there/.test(step)));
    assert.equal(early.table, plain.table);
    const second = await part("--part", "1/2");
    assert.match(second.said, /All 2 parts are there\. Next: deno task report/);
    const whole = await run(out);
    assert.ok(whole.steps.includes("The 2 parts of the limits are used."));
    assert.deepEqual([whole.table, whole.visits], [plain.table, plain.visits]);
    const place = join(folder, ".array.parts", "limits-1-of-2.part");
    const { mode } = await Deno.stat(place);
    assert.equal((mode ?? 0) & 0o077, 0);
    // the numbers are those of the parts: others there, another table
    const made = partFrom(await Deno.readTextFile(place))!;
    const lines = made.lines.map((line) => {
      const [{ key, values } = { key: "", values: new Float64Array() }] = replicatesFrom(line);
      const moved = values.map((value, k) => value * (1 + k % 3));
      return replicatesText([{ key, values: moved }]).trimEnd();
    });
    await Deno.writeTextFile(place, partText({ ...made, lines }));
    const moved = await run(out);
    assert.notEqual(moved.table, plain.table);
    assert.notEqual(moved.visits, plain.visits);
    // another plan
    const plan = JSON.parse(await Deno.readTextFile(study));
    await Deno.writeTextFile(study, JSON.stringify({ ...plan, seed: plan.seed + 1 }));
    const refused = await part("--part", "1/2");
    assert.equal(refused.code, 2);
    assert.match(refused.said, /is of another plan: parts of two plans do not go together/);
    const other = await run(out);
    assert.ok(other.steps.includes("limits-1-of-2.part is of another plan, and is not used."));
    assert.notEqual(other.table, plain.table);
  }));

Deno.test("deno task replicates says what is wrong with its options", async () => {
  const cli = new URL("../../../lib/report/parts/cli.ts", import.meta.url);
  for (
    const [args, what] of [
      [[], /such as 3\/40; got nothing/],
      [["--part", "41/40"], /such as 3\/40; got 41\/40/],
      [["--part", "0/40"], /got 0\/40/],
      [["--part", "3/40", "--of", "pairs"], /--of must be sets or limits, got pairs/],
      [["--part", "3/40", "--workers", "two"], /--workers must be a whole number/],
    ] as const
  ) {
    const { code, stderr } = await new Deno.Command(Deno.execPath(), {
      args: ["run", "--no-check", "--no-prompt", "--allow-read", cli.href, ...args],
    }).output();
    assert.equal(code, 2);
    assert.match(new TextDecoder().decode(stderr), what);
  }
});
