import assert from "node:assert/strict";
import { join } from "node:path";
import { replicatesFrom, replicatesText } from "../../../lib/sensitivity/bootstrap/mod.ts";
import {
  type Origin,
  type Part,
  partFrom,
  partName,
  partText,
} from "../../../lib/report/parts/part-file.ts";
import { partsAtHand, partsFolder } from "../../../lib/report/parts/mod.ts";

const hashOf = (letter: string) => letter.repeat(64);
const origin: Origin = {
  plan: hashOf("a"),
  files: { cohort: hashOf("b"), visits: hashOf("c") },
  library: hashOf("d"),
  packages: hashOf("e"),
  deno: "2.9.6",
};
const all = Float64Array.from({ length: 10 }, (_, k) => k / 3);
const lineOf = (values: Float64Array) => replicatesText([{ key: "job", values }]).trimEnd();
const limits = (part: number, from: number, to: number): Part => ({
  ...{ kind: "limits", part, of: 3, origin },
  lines: [lineOf(all.slice(from, to))],
});
const three = [limits(1, 0, 3), limits(2, 3, 6), limits(3, 6, 10)];

async function withParts(
  parts: Iterable<readonly [name: string, text: string]>,
  use: (folder: string) => Promise<void>,
): Promise<void> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    for (const [name, text] of parts) await Deno.writeTextFile(join(folder, name), text);
    await use(folder);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}
const files = (parts: readonly Part[]) =>
  parts.map((part) => [partName(part), partText(part)] as const);

Deno.test("a part comes back from its file; what was cut short or changed is none", () => {
  for (const part of [...three, { ...three[0]!, lines: [] }]) {
    const text = partText(part);
    assert.deepEqual(partFrom(text), part);
    for (const damaged of [text.slice(0, -3), text.replace('"part":1', '"part":"1"'), `${text}x`]) {
      if (damaged !== text) assert.equal(partFrom(damaged), null);
    }
  }
  for (const text of ["", "\n", "{}\n", "not json\nx"]) assert.equal(partFrom(text), null);
});

Deno.test("parts are put together once all are there, whatever else lies beside them", () =>
  withParts([...files(three), ["note.txt", "mine"]], async (folder) => {
    const found = await partsAtHand(folder, origin);
    assert.deepEqual(replicatesFrom(found.limits!), [{ key: "job", values: all }]);
    assert.equal(found.sets, undefined);
    assert.deepEqual(found.notes, ["The 3 parts of the limits are used."]);
  }));

Deno.test("completed sets are put together as they are, not looked into", () => {
  const sets = [1, 2].map((part): Part => ({
    ...{ kind: "sets", part, of: 2, origin },
    lines: part === 1 ? ['{"set":0}', '{"set":1}'] : ['{"set":2}'],
  }));
  return withParts(files(sets), async (folder) => {
    const found = await partsAtHand(folder, origin);
    assert.equal(found.sets, '[{"set":0},{"set":1},{"set":2}]');
  });
});

Deno.test("a missing part leaves the others unused, and is named", () =>
  withParts(files(three.slice(1)), async (folder) => {
    const found = await partsAtHand(folder, origin);
    assert.equal(found.limits, undefined);
    assert.deepEqual(found.notes, [
      "2 of 3 parts of the limits are there, and not used: missing 1.",
    ]);
  }));

Deno.test("a part of anything else is not used, and the reader is told why", async () => {
  const others: [Origin, string][] = [
    [{ ...origin, plan: hashOf("0") }, "of another plan"],
    [{ ...origin, files: { ...origin.files, visits: hashOf("0") } }, "of another visits file"],
    [
      { ...origin, files: { ...origin.files, "life table": hashOf("0") } },
      "of another life table file",
    ],
    [{ ...origin, library: hashOf("0") }, "worked out by another version of the library"],
    [{ ...origin, packages: hashOf("0") }, "worked out with other packages"],
    [{ ...origin, deno: "2.9.5" }, "worked out by Deno 2.9.5"],
  ];
  for (const [other, why] of others) {
    const parts = [three[0]!, { ...three[1]!, origin: other }, three[2]!];
    await withParts(files(parts), async (folder) => {
      const found = await partsAtHand(folder, origin);
      assert.equal(found.limits, undefined);
      assert.equal(found.notes[0], `limits-2-of-3.part is ${why}, and is not used.`);
      assert.match(found.notes[1]!, /missing 2/);
    });
  }
  const cut = new Map(files(three)).set("limits-2-of-3.part", "{}");
  await withParts(cut, async (folder) => {
    const { notes } = await partsAtHand(folder, origin);
    assert.equal(notes[0], "limits-2-of-3.part is cut short or changed, and is not used.");
  });
});

Deno.test("no parts, no notes", async () => {
  assert.equal(partsFolder("/some/out/demo"), "/some/out/.demo.parts");
  assert.deepEqual(await partsAtHand("/nowhere/at/all", origin), { notes: [] });
});
