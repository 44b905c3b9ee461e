import assert from "node:assert/strict";
import { join } from "node:path";
import { attempt, lookAt } from "./ask-tests.ts";
import { mutantsOf, switched } from "./mutants.ts";

const source = "export const twice = (n: number) => 2 * n;\nexport const eight = 2 * 4;\n";

const worker = `import { eight, twice } from "./lib.ts";
self.onmessage = ({ data }) => self.postMessage(twice(data) + eight);
`;

const test = (worker: string) =>
  `Deno.test("twice in a worker", async () => {
  const worker = new Worker(new URL("./${worker}", import.meta.url), { type: "module" });
  // at once, before the worker can have loaded its module
  worker.postMessage(21);
  const found = await new Promise((resolve, reject) => {
    worker.onmessage = ({ data }) => resolve(data);
    worker.onerror = (event) => { event.preventDefault(); reject(new Error(event.message)); };
  }).finally(() => worker.terminate());
  if (found !== 50) throw new Error(String(found));
});
`;

Deno.test("a test whose work is done in workers passes among mutants, reaches them and notices them", async () => {
  const copy = await Deno.makeTempDir({ prefix: "mitral-workers-" });
  try {
    await Deno.mkdir(join(copy, "test/mutation"), { recursive: true });
    for (const name of ["ask.ts", "ask-tests.ts", "mutated-worker.ts", "stop-endless.ts"]) {
      await Deno.copyFile(join(import.meta.dirname!, name), join(copy, "test/mutation", name));
    }
    const times = mutantsOf("lib.ts", source).find(({ from, atEveryCall }) =>
      from === "*" && atEveryCall
    )!;
    const write = (name: string, text: string) => Deno.writeTextFile(join(copy, name), text);
    await write("lib.ts", switched(source, [[7, times]]));
    await write("worker.ts", worker);
    await write(
      "listens.ts",
      worker.replace("self.onmessage = (", 'self.addEventListener("message", (')
        .replace("eight);", "eight));"),
    );
    const paths = [join(copy, "a.test.ts"), join(copy, "b.test.ts")];
    await write("a.test.ts", test("worker.ts"));
    await write("b.test.ts", test("listens.ts"));
    const looked = await lookAt(copy, paths);
    assert.deepEqual(
      looked.map(({ passed, reached }) => [passed, reached]),
      [[true, [7]], [true, [7]]],
    );
    const heard: unknown[] = [];
    const jobs = paths.map((path) => ({ number: 7, tests: [{ path, place: 0 }] }));
    await attempt(copy, jobs, (number, by) => heard.push([number, by]));
    assert.deepEqual(heard, paths.map((path) => [7, path]));
  } finally {
    await Deno.remove(copy, { recursive: true });
  }
});
