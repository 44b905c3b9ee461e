import assert from "node:assert/strict";
import { proportionOverTime } from "../../../lib/competing/visits/proportion-over-time.ts";
import { visitWeights } from "../../../lib/competing/visits/visit-weights.ts";
import { logisticRegression, splineBasis } from "../../../lib/regression/mod.ts";
import { coxRegression } from "../../../lib/survival/mod.ts";
import { assertAllClose, assertClose } from "../../close.ts";
import { estimates, looked, truth } from "./visit-cohorts.ts";
import { refusedBy } from "../../refused.ts";

Deno.test("visitWeights() cannot undo visits that follow what nobody recorded", () => {
  // Known truth: looking follows the present, unseen state. Said in the docstring, shown here.
  const { plain, weighted } = estimates(looked(4000, 7, "present"), [4]);
  const off = (found: typeof plain) => found.groups[1]!.proportion[0]! - truth(1, 4);
  assert.ok(off(plain) > 0.1);
  assert.ok(off(weighted) > 0.05);
});

Deno.test("visitWeights() are the ratio of two rate models, mean 1 (identity)", () => {
  const { subject, entry, time, visit, last, group } = looked(150, 3, "last-seen");
  const found = visitWeights(
    { subject, entry, time, visit, covariates: { last, group } },
    { stabiliseBy: ["group"] },
  );
  const data = { entry, time, event: visit, cluster: subject };
  const full = coxRegression({ ...data, covariates: { last, group } }, { ties: "breslow" });
  const part = coxRegression({ ...data, covariates: { group } }, { ties: "breslow" });
  const raw = Array.from(found.rows, (row) =>
    Math.exp(
      part.terms[0]!.coefficient * group[row]! - full.terms[0]!.coefficient * last[row]! -
        full.terms[1]!.coefficient * group[row]!,
    ));
  const mean = raw.reduce((sum, w) => sum + w, 0) / raw.length;
  assertAllClose(found.weight, raw.map((w) => w / mean));
  assertClose(found.weight.reduce((sum, w) => sum + w, 0), found.rows.length);
  assert.ok(found.effective <= found.rows.length);
  assertClose(found.largest, Math.max(...found.weight));
  assert.ok(Array.from(found.rows).every((row) => visit[row] === 1));
});

Deno.test("visitWeights() with nothing to undo leaves visits alike", () => {
  const { subject, entry, time, visit, group } = looked(200, 5, "last-seen");
  const { weight } = visitWeights(
    { subject, entry, time, visit, covariates: { group } },
    { stabiliseBy: ["group"] },
  );
  assertAllClose(weight, weight.map(() => 1));
});

Deno.test("proportionOverTime() is the spline logistic of each group (identity)", () => {
  const rows = looked(200, 9, "last-seen");
  const at = rows.visit.flatMap((v, i) => v === 1 ? [i] : []);
  const pick = (column: number[]) => at.map((i) => column[i]!);
  const knots = [0.5, 2, 6];
  const data = { subject: pick(rows.subject), time: pick(rows.time), outcome: pick(rows.outcome) };
  const found = proportionOverTime({ ...data, group: pick(rows.group) }, { times: [1, 3], knots });
  const own = at.map((_, k) => k).filter((k) => rows.group[at[k]!] === 1);
  const [a, b] = splineBasis(own.map((k) => data.time[k]!), knots);
  const fit = logisticRegression({
    outcome: own.map((k) => data.outcome[k]!),
    covariates: { a: a!, b: b! },
    cluster: own.map((k) => data.subject[k]!),
  });
  const [atA, atB] = splineBasis([1, 3], knots);
  assertAllClose(found.groups[1]!.proportion, fit.probabilityFor({ a: atA!, b: atB! }));
  // by hand: x' V x at 1 year, x = (1, basis)
  const x = [1, atA![0]!, atB![0]!];
  let variance = 0;
  for (let j = 0; j < 3; j++) {
    for (let k = 0; k < 3; k++) variance += x[j]! * x[k]! * fit.robustCovariance![j * 3 + k]!;
  }
  const p = found.groups[1]!.proportion[0]!;
  assertClose(found.groups[1]!.standardError[0]!, p * (1 - p) * Math.sqrt(variance));
  const { difference, groups: [first, second] } = found;
  assertClose(difference!.estimate[1]!, second!.proportion[1]! - first!.proportion[1]!);
  assert.ok(groupsHoldTheirEstimate(found.groups));
});

function groupsHoldTheirEstimate(groups: { proportion: Float64Array; lower: Float64Array }[]) {
  return groups.every(({ proportion, lower }) => lower.every((low, t) => low < proportion[t]!));
}

Deno.test("proportionOverTime() of a group that never shows it is 0 without limits, said so", () => {
  const rows = looked(60, 2, "last-seen");
  const at = rows.visit.flatMap((v, i) => v === 1 ? [i] : []);
  const pick = (column: number[]) => at.map((i) => column[i]!);
  const found = proportionOverTime({
    subject: pick(rows.subject),
    time: pick(rows.time),
    outcome: at.map((i) => rows.group[i] === 0 ? 0 : rows.outcome[i]!),
    group: pick(rows.group),
  }, { times: [1] });
  assert.equal(found.groups[0]!.proportion[0], 0);
  assert.ok(Number.isNaN(found.groups[0]!.lower[0]));
  assert.match(found.groups[0]!.reason ?? "", /no visit/);
});

Deno.test("visitWeights() and proportionOverTime() refuse bad input by name", () => {
  const good = {
    subject: [1, 1, 2],
    entry: [0, 1, 0],
    time: [1, 2, 2],
    visit: [1, 0, 1],
    covariates: { last: [0, 1, 0] },
  };
  assert.equal(refusedBy(() => visitWeights({ ...good, visit: [0, 0, 0] })), "visit");
  assert.equal(refusedBy(() => visitWeights({ ...good, entry: [0, 0.5, 0] })), "entry");
  assert.equal(refusedBy(() => visitWeights(good, { stabiliseBy: ["group"] })), "stabiliseBy");
  assert.equal(
    refusedBy(() =>
      proportionOverTime(
        { subject: [1, 1], time: [1, 2], outcome: [0, 1], group: [0, 1] },
        { times: [1], knots: [0, 1, 2] },
      )
    ),
    "group",
  );
});
