import assert from "node:assert/strict";
import { judge } from "./judge.ts";

const complete = {
  validation: { groups: [], foretold: [] },
  refused: "",
  failures: [],
  contradictions: [],
  answered: [],
  hasGrid: true,
  text: "All is told.",
};
const foretold = (where: string, verdict: string) => ({
  groups: [],
  foretold: [{ where, verdict, found: "Repair 20, Replacement 3" }],
});
const stopped = {
  groups: [{ severity: "structural", message: "the column age is missing" }],
  foretold: [],
};
const failures = ["03-survival, cell 4: two groups with patients, to be compared"];

Deno.test("judge() finds nothing in a whole report of files that validation passed", () => {
  assert.deepEqual(judge(complete), []);
  const warned = { groups: [{ severity: "warning", message: "rare" }], foretold: [] };
  assert.deepEqual(judge({ ...complete, validation: warned }), []);
});

Deno.test("judge() wants what stops a notebook or a report foretold", () => {
  assert.match(judge({ ...complete, failures })[0]!, /^not foretold: 03-survival/);
  const refused = "Cannot report: nobody is eligible";
  assert.match(judge({ ...complete, refused })[0]!, /passes, and there is no report: .*nobody/);
  // a word about something else foretells nothing
  const other = foretold("horizons", "absent");
  assert.equal(judge({ ...complete, failures, validation: other }).length, 1);
  assert.equal(
    judge({ ...complete, failures, validation: foretold("groups", "shown") }).length,
    1,
  );
  assert.deepEqual(
    judge({ ...complete, failures, validation: foretold("groups", "absent") }),
    [],
  );
});

Deno.test("judge() wants nothing refused that the report can do", () => {
  assert.match(judge({ ...complete, validation: stopped })[0]!, /refuses what .*column age/);
  assert.deepEqual(judge({ ...complete, validation: stopped, failures }), []);
  assert.deepEqual(judge({ ...complete, validation: stopped, refused: "no column age" }), []);
});

Deno.test("judge() wants a number in the grid where one was foretold, and only there", () => {
  for (const verdict of ["shown", "limited", "absent"]) {
    for (const answered of [[], [2]]) {
      const report = { ...complete, answered, validation: foretold("populations[2]", verdict) };
      const fits = (verdict === "absent") === (answered.length === 0);
      assert.equal(judge(report).length, fits ? 0 : 1, `${verdict} ${answered}`);
      assert.deepEqual(judge({ ...report, hasGrid: false }), []);
    }
  }
});

Deno.test("judge() passes on sentences that contradict the numbers, and words that do the plan", () => {
  const contradictions = ["7 is in no finding or table: 7 of them."];
  assert.deepEqual(judge({ ...complete, contradictions }), contradictions);
  assert.deepEqual(judge(complete, { mustNotSay: /told/ }), ["says “told”"]);
});
