import assert from "node:assert/strict";
import { join } from "node:path";
import { keptFiles } from "../../../lib/report/kept/mod.ts";

Deno.test("keptFiles() gives a file again from the same, and makes it anew from anything else", async () => {
  const parent = await Deno.makeTempDir();
  try {
    const folder = join(parent, "report");
    let made = 0;
    const make = () => Promise.resolve(new TextEncoder().encode(`made ${++made}`));
    const get = async (from: unknown, more: { library?: string; fresh?: boolean } = {}) => {
      const kept = keptFiles(folder, { library: "l", lock: "p", ...more });
      return new TextDecoder().decode(await kept.get("tables/tables.docx", from, make));
    };
    assert.equal(await get({ rows: [1] }), "made 1");
    assert.equal(await get({ rows: [1] }), "made 1");
    assert.equal(await get({ rows: [2] }), "made 2");
    assert.equal(await get({ rows: [2] }, { library: "another" }), "made 3");
    assert.equal(await get({ rows: [2] }, { library: "another", fresh: true }), "made 4");
    assert.equal(await get({ rows: [2] }, { library: "another" }), "made 4");
    // changed behind its back
    const keep = join(parent, ".report.kept");
    const [only] = [...Deno.readDirSync(keep)];
    const path = join(keep, only!.name);
    const bytes = await Deno.readFile(path);
    bytes[bytes.length - 1]! ^= 1;
    await Deno.writeFile(path, bytes);
    assert.equal(await get({ rows: [2] }, { library: "another" }), "made 5");
    await Deno.writeTextFile(path, "");
    assert.equal(await get({ rows: [2] }, { library: "another" }), "made 6");
    if (Deno.build.os !== "windows") {
      assert.equal((await Deno.stat(keep)).mode! & 0o77, 0);
      assert.equal((await Deno.stat(path)).mode! & 0o77, 0);
    }
  } finally {
    await Deno.remove(parent, { recursive: true });
  }
});
