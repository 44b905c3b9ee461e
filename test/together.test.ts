import assert from "node:assert/strict";
import { join } from "node:path";

const runner = join(import.meta.dirname!, "together.ts");

/** Runs files of tests together: the exit code, and what was said. */
async function run(files: Record<string, string>): Promise<{ code: number; said: string }> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    for (const [name, text] of Object.entries(files)) {
      await Deno.writeTextFile(join(folder, name), text);
    }
    const { code, stdout, stderr } = await new Deno.Command(Deno.execPath(), {
      args: ["run", "--allow-all", "--no-check", runner, folder],
      env: { NO_COLOR: "1" },
    }).output();
    const text = (bytes: Uint8Array) => new TextDecoder().decode(bytes);
    return { code, said: text(stdout) + text(stderr) };
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

const good = 'Deno.test("one is one", () => {});\n';

Deno.test("tests that run together count each, and leave out what has a task of its own", async () => {
  const { code, said } = await run({
    "a.test.ts": good,
    "b.test.ts": good.repeat(2).replace("one", "two"),
    "c.long.test.ts": "throw new Error();\n",
    "d.ts": "throw new Error();\n",
  });
  assert.equal(code, 0, said);
  assert.match(said, /3 passed \| 0 failed/);
});

Deno.test("of tests that run together, a failure names its test, file and line", async () => {
  const { code, said } = await run({
    "a.test.ts": good,
    "b.test.ts": `\n${
      good.replace("{}", '{ throw new Error("no"); }').replace("one is", "two is")
    }`,
    "c.test.ts": 'import "./nowhere.ts";\n',
    "d.test.ts": good,
  });
  assert.notEqual(code, 0, said);
  assert.match(said, /two is one => .*\bb\.test\.ts:2:/);
  assert.match(said, /c\.test\.ts can be loaded/);
  assert.match(said, /nowhere\.ts/);
  assert.match(said, /2 passed \| 2 failed/);
});
