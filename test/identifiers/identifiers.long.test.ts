import { stringify } from "csv-stringify/sync";
import { identifierKinds } from "../../lib/cohort/identifiers/kinds.ts";
import { ProblemsError } from "../../lib/study/mod.ts";
import { readText } from "../cohort/small-cohort.ts";
import assert from "node:assert/strict";
import { files, scan } from "./scanned.ts";

Deno.test("identifierScan() finds every plant of 200 files, and nothing else in them", () => {
  let found = 0;
  let sameKind = 0;
  let alarms = 0;
  const missed: string[] = [];
  for (const { kind, how, header, rows, position, values } of files) {
    // a heading that no study file maps is a column of which nothing is known
    const findings = scan(header, rows);
    const here = findings.filter((finding) => finding.position === position);
    alarms += findings.length - here.length;
    if (here.length > 0) found++;
    else missed.push(`${kind}, ${how}, ${header[position]}: ${values.slice(0, 3).join(" | ")}`);
    if (here.some((finding) => finding.kind === kind)) sameKind++;
    assert.ok(values.length > 0);
  }
  console.log(
    `    planted identifiers: ${found} of ${files.length} files found, ${sameKind} by their own ` +
      `kind; false alarms beside them: ${alarms}`,
  );
  assert.deepEqual(missed, []);
  assert.equal(alarms, 0);
  assert.deepEqual(
    [...new Set(files.map(({ kind }) => kind))].sort(),
    Object.keys(identifierKinds).sort(),
  );
});

Deno.test("readCohort() stops at every plant of 200 files, naming its column and no value", async () => {
  for (const { kind, header, rows, position, values } of files) {
    const visits = `id,day,mr\n${rows[0]![header.indexOf("id")]},1,0\n`;
    const text = stringify([header, ...rows]);
    const error = await readText(text, visits).then(() => null, (reason) => reason);
    assert.ok(error instanceof ProblemsError, `${kind} in ${header[position]} went through`);
    const lines = error.problems.filter(({ where }) => where.endsWith(`, ${header[position]}`));
    assert.ok(lines.length > 0, `${kind} in ${header[position]}: ${error.message}`);
    for (const value of values) {
      if (value.length > 4) assert.ok(!error.message.includes(value), error.message);
    }
  }
});
