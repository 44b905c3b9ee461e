import assert from "node:assert/strict";
import { walkSync } from "../walk.ts";
import { onWarning, quietly, raised } from "../../../lib/numerics/mod.ts";
import { collectItems } from "../../../lib/report/model/mod.ts";
import { warningNote } from "../../../lib/report/show/mod.ts";

Deno.test("raised() tells a listener, keeps the texts, and is silent within quietly()", () => {
  const heard: string[] = [];
  onWarning((text) => heard.push(text));
  try {
    assert.deepEqual(raised(["one", "two"]), ["one", "two"]);
    assert.deepEqual(quietly(() => raised(["three"])), ["three"]);
    assert.throws(() =>
      quietly(() => {
        throw new Error("work failed");
      })
    );
    raised(["four"]);
  } finally {
    onWarning(undefined);
  }
  assert.deepEqual(heard, ["one", "two", "four"]);
  assert.deepEqual(raised(["nobody hears"]), ["nobody hears"]);
});

Deno.test("every result that carries warnings raises them", () => {
  const silent: string[] = [];
  for (const [path, source] of walkSync("lib")) {
    if (path.startsWith("lib/report") || path.startsWith("lib/numerics")) continue;
    if (/^\s*(const )?warnings: string\[\]/m.test(source) && !/\braised\(/.test(source)) {
      silent.push(path);
    }
  }
  assert.deepEqual(silent, [], "a result with `warnings` must pass them through raised()");
});

Deno.test("a warning raised in several notebooks reaches the report once, in the first", () => {
  const item = { kind: "note" as const, id: "", about: "warning" as const, text: "" };
  const output = (text: string) => {
    const { id } = warningNote(text);
    return { type: "display" as const, bundle: {}, item: { ...item, id, text } };
  };
  const notebook = (id: string, texts: string[]) => ({
    notebook: { id },
    outputs: [texts.map(output)],
  });
  const runs = [notebook("02-a", ["few"]), notebook("03-b", ["few", "heavy"])];
  const items = collectItems(runs as unknown as Parameters<typeof collectItems>[0], {
    planned: [],
  });
  assert.deepEqual(items.failures, []);
  assert.deepEqual(
    items.notes.map(({ item, notebook }) => [notebook, item.text]),
    [["02-a", "few"], ["03-b", "heavy"]],
  );
  assert.equal(items.repeated.size, 1);
});
