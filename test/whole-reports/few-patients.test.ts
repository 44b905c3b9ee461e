import assert from "node:assert/strict";
import { join } from "node:path";
import { audit } from "../disclosure/audit.ts";
import { readPublished } from "../disclosure/published.ts";
import { writeCut } from "../hostile/cut-cohort.ts";
import { contradictions, readSaid } from "../report/sentences/sentence-numbers.ts";
import { quickReport } from "../report/workspace.ts";

Deno.test("the report on few patients gives no small count away, and would be found to", async () => {
  const folder = await Deno.makeTempDir({ prefix: "mitral-audit-" });
  try {
    const study = await writeCut(folder, {
      rows: (patients, visits) => [patients.slice(0, 180), visits],
    });
    const out = join(folder, "out");
    const { model } = await quickReport({ study, out });
    assert.deepEqual(model.failures, []);
    // the run is shared: what it says is what it found
    assert.deepEqual(contradictions(readSaid(out)), []);
    const published = readPublished(out);
    assert.deepEqual(audit(published), []);
    // a leak that a report once had: a hidden level follows from the matched and the unmatched
    const rows = published.tables.flatMap(({ id, rows }) =>
      id === "characteristics" || id === "unmatched" ? rows : []
    );
    const level = (name: string) =>
      rows.filter(({ characteristic }) => characteristic === `\u2003${name}`);
    const none = level("none");
    const persistent = level("persistent");
    assert.equal(none.length, 2);
    none[0]!["afterMatching.repair"] = "16 (57%)";
    persistent[0]!["afterMatching.repair"] = "11 (39%)";
    assert.match(audit(published).join("\n"), /Atrial fibrillation/);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});
