import assert from "node:assert/strict";
import { join } from "node:path";
import { projectFolder } from "../../../lib/report/sandbox/mod.ts";
import { changedInputs, verifyOutput } from "../../../lib/report/output/mod.ts";
import { sha256 } from "../../../lib/numerics/memory/mod.ts";
import { filesBelow, quickReport, withWorkspace } from "../workspace.ts";

const reads = 'import { openStudy } from "mitral";\nconst study = await openStudy();\n' +
  "Deno.readTextFileSync(study.cohortPath).length";

Deno.test("a run reads one copy of its inputs, whatever happens to the files meanwhile", () =>
  withWorkspace({ "01-a": [reads], "02-b": [reads], "03-c": [reads] }, async (workspace) => {
    const { folder, study, notebooks, out } = workspace;
    const cohort = join(folder, "patients.csv");
    const before = await Deno.readFile(cohort);
    let grown = 0;
    const grow = () => Deno.writeTextFileSync(cohort, `2,${60 + grown++}\n`, { append: true });
    const { model } = await quickReport({
      study,
      notebooks,
      out,
      progress: { step: grow, cell: grow, done: grow },
    });
    assert.ok(grown > 5);
    assert.deepEqual(model.failures, []);
    const seen = model.runs.map(({ outputs }) =>
      outputs.flat().map((output) => "bundle" in output && output.bundle["text/plain"])
    );
    assert.deepEqual(seen, seen.map(() => [String(before.length)]));
    const manifest = JSON.parse(await Deno.readTextFile(join(out, "manifest.json")));
    assert.equal(manifest.inputs[1].sha256, sha256(before));
    for (const { name, sha256: hash } of manifest.notebooks) {
      assert.equal(hash, sha256(await Deno.readFile(join(notebooks, `${name}.ipynb`))));
    }
    assert.deepEqual(manifest.inputs.map(({ role }: { role: string }) => role), [
      "study",
      "cohort",
      "visits",
      "lock",
      "library",
    ]);
    // and what it wrote can be held against it
    const sound = await verifyOutput(out);
    const now = { inputs: new Map([["cohort", "0"]]), notebooks: new Map(), beside: new Map() };
    assert.deepEqual(changedInputs(sound.manifest, now), [
      "cohort (patients.csv) is another than the report was made from",
      "notebook 01-a is not there any more",
      "notebook 02-b is not there any more",
      "notebook 03-c is not there any more",
    ]);
    assert.deepEqual([sound.problems, sound.others], [[], []]);
    assert.equal(sound.unchanged.length, Object.keys(manifest.outputs).length);
    await Deno.writeTextFile(join(out, "brief.html"), " ", { append: true });
    await Deno.remove(join(out, "findings.json"));
    await Deno.writeTextFile(join(out, "tables.csv"), "");
    const { problems, others } = await verifyOutput(out);
    assert.deepEqual(problems, [
      "brief.html was changed after the run",
      "findings.json is missing",
    ]);
    assert.deepEqual(others, ["tables.csv"]);
  }));

Deno.test("the whole output is the same whatever time zone, language, folder and number of cores", async () => {
  const table = '({ kind: "table", id: "t", title: "T \\u0007 \\ud800", caption: "c",\n' +
    '  columns: [{ key: "a", label: "A" }], rows: [{ a: "x\\u0000\\u001f" }, { a: "é" }] })';
  const when =
    'new Date(2020, 6, 1).toLocaleString() + (1234.5).toLocaleString() + ["z", "ä", "a"]' +
    ".sort((a, b) => a.localeCompare(b))";
  await withWorkspace({ "01-a": [when, table], "02-b": [reads] }, async (workspace) => {
    const { folder, study, notebooks } = workspace;
    const script = join(projectFolder, "test/report/output/report-once.ts");
    const places: { out: string; env: Record<string, string>; one?: boolean }[] = [
      { out: "out", env: { TZ: "UTC", LANG: "C" } },
      { out: "b, ünï c/out", env: { TZ: "Pacific/Kiritimati", LANG: "de_DE.UTF-8" } },
      { out: "d", env: { TZ: "America/St_Johns", LC_ALL: "tr_TR.UTF-8" }, one: true },
    ];
    let first: Map<string, string> | undefined;
    for (const { out, env, one } of places) {
      const path = join(folder, out);
      const run = ["run", "--no-check", "-A", script, study, notebooks, path];
      // one core of however many there are
      const alone = one && Deno.build.os === "linux";
      const [command, args]: [string, string[]] = alone
        ? ["taskset", ["--cpu-list", "0", Deno.execPath(), ...run]]
        : [Deno.execPath(), run];
      const { success, stderr } = await new Deno.Command(command, { args, env }).output();
      assert.ok(success, new TextDecoder().decode(stderr));
      const files = await hashesBelow(path);
      files.delete("manifest.json");
      first ??= files;
      assert.deepEqual(files, first, out);
    }
    const { unzipSync } = await import("fflate");
    const docx = unzipSync(await Deno.readFile(join(folder, "out", "tables", "tables.docx")));
    const body = new TextDecoder().decode(docx["word/document.xml"]);
    // deno-lint-ignore no-control-regex
    assert.doesNotMatch(body, /[\0-\x08\x0b\x0c\x0e-\x1f]/);
    assert.match(body, />T +\ufffd</);
  });
});

async function hashesBelow(folder: string): Promise<Map<string, string>> {
  const paths = [...(await filesBelow(folder)).keys()];
  return new Map(
    await Promise.all(
      paths.map(async (path) => [path, sha256(await Deno.readFile(join(folder, path)))] as const),
    ),
  );
}
