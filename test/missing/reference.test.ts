import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { parse } from "csv-parse/sync";
import * as mitral from "mitral";

interface Pooled {
  estimate: number;
  within: number;
  between: number;
  total: number;
}
interface Reference {
  source: string;
  sets: number;
  logistic: Record<string, Pooled>;
  means: Record<string, Pooled>;
}
const folder = new URL("../reference/", import.meta.url);
// Values missing at random given the outcome in all four kinds of column; R 4.2.2, mice 3.15.0,
// 60 sets: make-imputation.R.
const reference: Reference = JSON.parse(
  readFileSync(new URL("imputation.json", folder), "utf8"),
);
const rows: Record<string, string>[] = parse(
  readFileSync(new URL("data/imputation.csv", folder), "utf8"),
  { columns: true },
);
const column = (name: string) =>
  Float64Array.from(rows, (row) => row[name] === "" ? NaN : Number(row[name]));

Deno.test("imputeColumns() pools to what the reference's chained equations pool to", async () => {
  const n = rows.length;
  const treated = column("treated");
  // the reference has no products with the group, so that both have the same models
  const outcome = mitral.outcomeColumns(
    "death",
    { time: column("time"), event: column("event") },
    n,
  );
  const imputed = await mitral.imputeColumns({
    columns: [
      { name: "x", kind: "number", values: column("x") },
      { name: "y", kind: "number", values: column("y") },
      { name: "ill", kind: "binary", values: column("ill") },
      { name: "grade", kind: "ordered", values: column("grade") },
      { name: "kind", kind: "category", values: column("kind") },
      { name: "treated", kind: "binary", values: treated },
      ...outcome.columns,
    ],
  }, { sets: reference.sets, seed: 1, iterations: 5, workers: 0 });
  const found: Record<string, { estimates: number[]; variances: number[] }> = {};
  const add = (name: string, estimate: number, variance: number) => {
    found[name] ??= { estimates: [], variances: [] };
    found[name].estimates.push(estimate);
    found[name].variances.push(variance);
  };
  imputed.sets.forEach((_, k) => {
    const full = (name: string) => imputed.completed(name, k);
    const kind = full("kind");
    const is = (level: number) => kind.map((own) => own === level ? 1 : 0);
    const means = {
      y: full("y"),
      ill: full("ill"),
      grade: full("grade"),
      kind1: is(1),
      kind2: is(2),
    };
    for (const [name, values] of Object.entries(means)) {
      const mean = values.reduce((sum, v) => sum + v, 0) / n;
      const variance = values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (n - 1);
      add(`mean ${name}`, mean, variance / n);
    }
    const fit = mitral.logisticRegression({
      outcome: treated,
      covariates: { x: column("x"), ...means },
    });
    for (const { name, coefficient, standardError } of fit.terms) {
      add(`logistic ${name}`, coefficient, standardError ** 2);
    }
  });
  const expected = {
    ...Object.fromEntries(Object.entries(reference.means).map(([k, v]) => [`mean ${k}`, v])),
    ...Object.fromEntries(Object.entries(reference.logistic).map(([k, v]) => [`logistic ${k}`, v])),
  };
  assert.equal(Object.keys(expected).length, 12);
  for (const [name, want] of Object.entries(expected)) {
    const own = found[name]!;
    const pooled = mitral.poolImputations(own);
    // two Monte-Carlo errors of 60 sets each; 4 of them for 12 comparisons, as draws differ
    const error = Math.sqrt((want.between + pooled.between) / reference.sets);
    assert.ok(
      Math.abs(pooled.estimate - want.estimate) < 4 * error,
      `${name}: ${pooled.estimate}, reference ${want.estimate}, Monte-Carlo error ${error}`,
    );
    // standard errors of 60 sets vary by a few per cent
    const ratio = pooled.standardError / Math.sqrt(want.total);
    assert.ok(ratio > 0.9 && ratio < 1.1, `${name}: standard errors differ by ${ratio}`);
  }
});
