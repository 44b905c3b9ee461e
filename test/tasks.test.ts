import assert from "node:assert/strict";
import { join } from "node:path";

const root = join(import.meta.dirname!, "..");
const { tasks }: { tasks: Record<string, string> } = JSON.parse(
  await Deno.readTextFile(join(root, "deno.json")),
);

Deno.test("no task that reads patients' data may use the network, run other programs or ask for more", () => {
  const forCentres = ["report", "map", "validate", "deidentify", "compare", "verify", "replicates"];
  for (const name of forCentres) {
    const task = tasks[name] ?? "";
    assert.match(task, /^deno run --no-prompt /, name);
    assert.doesNotMatch(task, /--allow-(all|net|ffi|import|env |run )|-A\b/, name);
    // the one program that may be run is the one that runs already
    const run = /--allow-run=(\S+ \S+ \S+ \S+)/.exec(task)?.[1];
    assert.equal(run, name === "report" ? "$(deno eval -p 'Deno.execPath()')\"" : undefined, name);
    const names = /--allow-env=(\S+)/.exec(task)?.[1]?.split(",") ?? [];
    assert.ok(names.includes("INIT_CWD"), name);
    if (name !== "report") assert.deepEqual(names, ["INIT_CWD"], name);
  }
});

// Reading is wide where a user names files anywhere; writing too in `report`, `map`, `validate`,
// `plan`, `replicates`, `deidentify`, `compare`, `begin`, `picture`, `sbom` (the user says where),
// and in `report` and `hostile` because Deno lets only a process that may write anywhere make the
// links of a notebook's throwaway cache. The others write to their own and the temporary folder.
Deno.test("no task but the tests may do everything, and none but one may use a network", () => {
  for (const [name, task] of Object.entries(tasks)) {
    if (/^test(-|$)/.test(name)) continue;
    assert.doesNotMatch(task, /--allow-all|-A\b|--allow-(ffi|import)|--allow-run(?!=)/, name);
    assert.equal(task.includes("--allow-net"), name === "begin", name);
    for (const run of task.match(/deno run [^&]*/g) ?? []) assert.match(run, /--no-prompt/, name);
  }
});

// Why each of these must: DEVELOPERS.md
const writeAnywhere = [
  "begin",
  "compare",
  "deidentify",
  "hostile",
  "map",
  "picture",
  "plan",
  "replicates",
  "report",
  "sbom",
  "validate",
];

Deno.test("only tasks that write where the user says may write anywhere", () => {
  const wide = Object.entries(tasks).filter(([name, task]) =>
    !/^test(-|$)/.test(name) && /--allow-write(?!=)/.test(task)
  ).map(([name]) => name).sort();
  assert.deepEqual(wide, writeAnywhere);
});

Deno.test("beginning with an export may use no network but this machine's own address, for its page", () => {
  const task = tasks["begin"] ?? "";
  const allowed = [...task.matchAll(/--allow-\S+/g)].map(([permission]) => permission);
  assert.deepEqual(allowed, [
    "--allow-read",
    "--allow-write",
    "--allow-net=127.0.0.1",
    "--allow-env=INIT_CWD",
  ]);
  assert.match(task, /^deno run --no-prompt /);
});

Deno.test("a relative path is one from where the user stands, not from the project's folder", async () => {
  const folder = join(root, "data-demo", "second-centre");
  // a task within a task would keep the outer one's folder
  const { INIT_CWD: _, ...env } = Deno.env.toObject();
  const { code, stderr } = await new Deno.Command(Deno.execPath(), {
    args: ["task", "verify", "no-such-report"],
    cwd: folder,
    clearEnv: true,
    env: { ...env, NO_COLOR: "1" },
  }).output();
  assert.equal(code, 2);
  const text = new TextDecoder().decode(stderr);
  assert.ok(text.includes(`Cannot verify ${join(folder, "no-such-report")}`), text);
});
