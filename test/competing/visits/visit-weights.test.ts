import assert from "node:assert/strict";
import { proportionOverTime } from "../../../lib/competing/visits/proportion-over-time.ts";
import { visitWeights } from "../../../lib/competing/visits/visit-weights.ts";
import { DataError } from "../../../lib/numerics/columns/errors.ts";
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import { logisticRegression, splineBasis } from "../../../lib/regression/mod.ts";
import { coxRegression } from "../../../lib/survival/mod.ts";
import { assertAllClose, assertClose } from "../../close.ts";

// Invented course: regurgitation comes at rate `onset` a year and goes at rate `recovery`; looking
// is a Poisson process of 0.7 a year, times `factor` while regurgitation was there at the last look
// (or, unseen by any record, is there now).
const onset = [0.05, 0.2]; // by group
const recovery = 0.15;
const years = 8;

/** The proportion with regurgitation at t, a two-state Markov process from 0: by hand. */
function truth(group: number, t: number): number {
  const total = onset[group]! + recovery;
  return onset[group]! / total * (1 - Math.exp(-total * t));
}

function looked(patients: number, seed: number, by: "last-seen" | "present") {
  const random = new SeededRandom(seed);
  const factor = 5;
  const rows = {
    subject: [] as number[],
    group: [] as number[],
    entry: [] as number[],
    time: [] as number[],
    visit: [] as number[],
    last: [] as number[],
    outcome: [] as number[],
  };
  for (let subject = 0; subject < patients; subject++) {
    const group = subject % 2;
    const end = years * (0.3 + 0.7 * random.uniform());
    let now = 0; // time up to which the state is known
    let state = 0;
    let change = random.exponential(onset[group]!);
    const stateAt = (t: number) => {
      while (change <= t) {
        state = 1 - state;
        change += random.exponential(state === 1 ? recovery : onset[group]!);
      }
      return state;
    };
    let last = 0;
    let entry = 0;
    for (;;) {
      now += random.exponential(0.7 * factor);
      const isVisit = now < end;
      const present = isVisit ? stateAt(now) : 0;
      if (
        isVisit && random.uniform() * factor > ((by === "present" ? present : last) ? factor : 1)
      ) {
        continue;
      }
      rows.subject.push(subject);
      rows.group.push(group);
      rows.entry.push(entry);
      rows.time.push(Math.min(now, end));
      rows.visit.push(isVisit ? 1 : 0);
      rows.last.push(last);
      rows.outcome.push(present);
      if (!isVisit) break;
      last = present;
      entry = now;
    }
  }
  return rows;
}

function estimates(rows: ReturnType<typeof looked>, times: number[]) {
  const { subject, entry, time, visit, last, group } = rows;
  const found = visitWeights(
    { subject, entry, time, visit, covariates: { last, group } },
    { stabiliseBy: ["group"] },
  );
  const pick = (column: number[]) => Array.from(found.rows, (row) => column[row]!);
  const visits = {
    subject: pick(subject),
    time: pick(time),
    outcome: pick(rows.outcome),
    group: pick(group),
  };
  return {
    model: found,
    plain: proportionOverTime(visits, { times }),
    weighted: proportionOverTime({ ...visits, weight: found.weight }, { times }),
  };
}

Deno.test("visitWeights() recovers the rate ratio and the proportion; unweighted visits do not", () => {
  // Known truth: 30 samples of 400 invented patients, at 2 and 5 years. What the two estimates are
  // off by, in Monte-Carlo errors of their mean.
  const times = [2, 5];
  const samples = 30;
  const sums = { plain: new Float64Array(4), weighted: new Float64Array(4), ratio: 0 };
  const squares = { plain: new Float64Array(4), weighted: new Float64Array(4) };
  let covered = 0;
  for (let seed = 0; seed < samples; seed++) {
    const { model, plain, weighted } = estimates(looked(400, 100 + seed, "last-seen"), times);
    sums.ratio += model.model.terms[0]!.hazardRatio / samples;
    for (const [name, found] of [["plain", plain], ["weighted", weighted]] as const) {
      found.groups.forEach((curve, group) =>
        times.forEach((t, k) => {
          const off = curve.proportion[k]! - truth(group, t);
          sums[name][2 * group + k]! += off / samples;
          squares[name][2 * group + k]! += off * off / samples;
          if (name === "plain") return;
          if (curve.lower[k]! <= truth(group, t) && truth(group, t) <= curve.upper[k]!) covered++;
        })
      );
    }
  }
  const inErrors = (name: "plain" | "weighted") =>
    Array.from(
      sums[name],
      (bias, j) => bias / Math.sqrt((squares[name][j]! - bias ** 2) / samples),
    );
  assert.ok(Math.abs(sums.ratio - 5) < 0.25, `rate ratio ${sums.ratio}`);
  for (const z of inErrors("weighted")) assert.ok(Math.abs(z) < 3.5, `weighted off by ${z}`);
  for (const z of inErrors("plain")) assert.ok(z > 8, `unweighted off by ${z} only`);
  // and the bias is one that matters: over four in a hundred in the worse group
  assert.ok(sums.plain[2]! > 0.04 && sums.plain[3]! > 0.04);
  assert.ok(Math.abs(sums.weighted[2]!) < 0.015 && Math.abs(sums.weighted[3]!) < 0.015);
  // limits of 95%: 120 correlated tries, expected 114
  assert.ok(covered >= 104, `${covered} of 120 covered`);
});

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
  const argument = (run: () => unknown) => {
    try {
      run();
    } catch (error) {
      if (error instanceof DataError) return error.argument;
      throw error;
    }
    return "none";
  };
  assert.equal(argument(() => visitWeights({ ...good, visit: [0, 0, 0] })), "visit");
  assert.equal(argument(() => visitWeights({ ...good, entry: [0, 0.5, 0] })), "entry");
  assert.equal(argument(() => visitWeights(good, { stabiliseBy: ["group"] })), "stabiliseBy");
  assert.equal(
    argument(() =>
      proportionOverTime(
        { subject: [1, 1], time: [1, 2], outcome: [0, 1], group: [0, 1] },
        { times: [1], knots: [0, 1, 2] },
      )
    ),
    "group",
  );
});
