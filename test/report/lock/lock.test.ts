import assert from "node:assert/strict";
import { join } from "node:path";
import { openAnalysis, openStudy, planSha256, withoutOutcomes } from "mitral";
import { dictionaryColumn } from "../../../lib/cohort/dictionary/mod.ts";
import { beforeOutcomes } from "../../../lib/report/lock/before-outcomes.ts";

/**
 * A folder with the demonstration's study, its missing values completed twice alone, and every
 * fourth of its patients; removed afterwards.
 */
async function withFewer(use: (folder: string) => Promise<void>): Promise<void> {
  const demo = new URL("../../../data-demo/", import.meta.url);
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const plan = JSON.parse(await Deno.readTextFile(new URL("study.json", demo)));
    plan.missing.sets = 2;
    await Deno.writeTextFile(join(folder, "study.json"), JSON.stringify(plan));
    await Deno.copyFile(new URL("life-table.csv", demo), join(folder, "life-table.csv"));
    const linesOf = async (name: string) =>
      (await Deno.readTextFile(new URL(name, demo))).trimEnd().split("\n");
    const idOf = (line: string) => line.slice(0, line.indexOf(","));
    const patients = (await linesOf("patients.csv")).filter((_, i) => i % 4 === 0);
    const ids = new Set(patients.map(idOf));
    const visits = (await linesOf("echo-visits.csv")).filter((line) => ids.has(idOf(line)));
    await Deno.writeTextFile(join(folder, "patients.csv"), `${patients.join("\n")}\n`);
    await Deno.writeTextFile(join(folder, "echo-visits.csv"), `${visits.join("\n")}\n`);
    await use(folder);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

const before = (name: string) => dictionaryColumn("patients", name)?.stage === "pre-operative";

Deno.test("before outcomes are looked at, no outcome is read", () =>
  withFewer(async (folder) => {
    const { analysis } = await openAnalysis(join(folder, "study.json"));
    assert.deepEqual(
      Object.keys(withoutOutcomes(analysis).columns).filter((one) => !before(one)),
      [],
    );
    const shown = beforeOutcomes(analysis);
    const forbidden = new Set<string>();
    const guarded = {
      ...analysis,
      columns: new Proxy(analysis.columns, {
        get(columns, name) {
          if (!before(String(name))) forbidden.add(String(name));
          return Reflect.get(columns, name);
        },
      }),
      get visits(): never {
        throw new Error("a visit was read");
      },
    };
    // what is spread reads a getter: hand the guarded analysis on as it is
    const { visits: _, ...rest } = Object.getOwnPropertyDescriptors(guarded);
    const without = Object.defineProperties({}, rest) as typeof analysis;
    assert.deepEqual(beforeOutcomes(without), shown);
    assert.deepEqual([...forbidden], []);
    // other outcomes, the same page
    const columns = Object.fromEntries(
      Object.entries(analysis.columns).map(([name, column]) => [
        name,
        before(name) ? column : column.toReversed(),
      ]),
    );
    assert.deepEqual(beforeOutcomes({ ...analysis, columns } as typeof analysis), shown);
    const words = shown.flatMap(({ lines }) => lines).join("\n");
    assert.match(words, /Worth once weighted: \d+/);
    assert.match(words, /is found with a chance of 80%/);
    assert.match(words, /events are needed, or some [\d,]+ patients followed as these are/);
    assert.match(words, /a comparison of hazards finds it with a chance of \d+%/);
  }));

Deno.test("deno task plan locks a plan once, and says what changed since", () =>
  withFewer(async (folder) => {
    const study = join(folder, "study.json");
    // what is shown before outcomes is for the test above: nothing to complete, nothing to expect
    const written = JSON.parse(await Deno.readTextFile(study));
    written.missing.method = "mean-and-mark";
    written.precision.expected = [];
    await Deno.writeTextFile(study, JSON.stringify(written));
    const out = join(folder, "out");
    const run = async (...args: string[]) => {
      const cli = new URL("../../../lib/report/lock/cli.ts", import.meta.url);
      const { code, stdout, stderr } = await new Deno.Command(Deno.execPath(), {
        args: ["run", "--no-check", "-A", cli.href, "--study", study, "--out", out, ...args],
      }).output();
      const text = (bytes: Uint8Array) => new TextDecoder().decode(bytes);
      return { code, said: text(stdout) + text(stderr) };
    };
    // a report was made on an earlier day
    await Deno.mkdir(out);
    await Deno.writeTextFile(
      join(out, "manifest.json"),
      JSON.stringify({ study: "demo", startedAt: "2031-02-03T04:05:06.000Z" }),
    );
    const first = await run("--lock", "--registered", "an invented registry, number 1");
    assert.equal(first.code, 0, first.said);
    assert.match(first.said, /Not locked|Locked: study\.lock\.json/);
    const lock = JSON.parse(await Deno.readTextFile(join(folder, "study.lock.json")));
    assert.equal(lock.planSha256, await planSha256(await openStudy(study)));
    assert.equal(lock.outcomesSeenAt, "2031-02-03T04:05:06.000Z");
    assert.equal(lock.registered, "an invented registry, number 1");
    const plan = JSON.parse(await Deno.readTextFile(study));
    plan.mainHorizon = 10;
    await Deno.writeTextFile(study, JSON.stringify(plan));
    const again = await run("--lock");
    assert.equal(again.code, 2);
    assert.match(again.said, /the plan has changed since/);
    assert.deepEqual(JSON.parse(await Deno.readTextFile(join(folder, "study.lock.json"))), lock);
  }));
