import assert from "node:assert/strict";
import { DataError } from "../../../lib/numerics/columns/errors.ts";
import { coxRegression } from "../../../lib/survival/cox/model/cox-regression.ts";
import { coxResiduals } from "../../../lib/survival/cox/checks/residuals.ts";
import { assertAllClose, assertClose } from "../../close.ts";
import { models } from "./cox-cases.ts";

// By hand: test data 1 of Therneau & Grambsch (2000), appendix, Breslow, r = exp(b). Risk sums
// 3r + 3, r + 3 and 1 at times 1, 6 and 9.
Deno.test("coxResiduals() gives the martingale residuals of test data 1", () => {
  const data = {
    time: [1, 1, 6, 6, 8, 9],
    event: [1, 0, 1, 1, 0, 1],
    covariates: { x: [1, 1, 1, 0, 0, 0] },
  };
  const fit = coxRegression(data, { ties: "breslow" });
  const r = (3 + Math.sqrt(33)) / 2;
  const h1 = 1 / (3 * r + 3);
  const h2 = h1 + 2 / (r + 3);
  const h3 = h2 + 1;
  assertAllClose(
    coxResiduals(fit, "martingale").values,
    [1 - r * h1, -r * h1, 1 - r * h2, 1 - h2, -h2, 1 - h3],
    { relative: 1e-9, absolute: 1e-12 },
  );
});

// Reference: R 4.2.2, survival 3.5-3, residuals(fit, type) with coxph.control(eps =
// 1e-14), 12 digits;
// the sum of squares of the whole column after its first value.
const digits = { relative: 1e-9, absolute: 1e-11 };
const squares = (column: Float64Array) => column.reduce((sum, value) => sum + value * value, 0);

Deno.test("coxResiduals() matches the reference library with delayed entry and ties", () => {
  const fit = coxRegression(models.heart());
  const check = (column: Float64Array, first: number, total: number) => {
    assertClose(column[0]!, first, digits);
    assertClose(squares(column), total, digits);
  };
  check(coxResiduals(fit, "martingale").values, 0.566661570647, 73.4814495861316);
  check(coxResiduals(fit, "deviance").values, 0.734267926002, 195.809438270799);
  check(coxResiduals(fit, "score").columns.age!, -9.292178632529, 5983.05459484682);
  check(coxResiduals(fit, "score").columns.transplant!, -0.518493941467, 10.89656398746);
  check(coxResiduals(fit, "dfbeta").columns.year!, -0.009677959032218, 0.005429262060831);
  check(coxResiduals(fit, "schoenfeld").columns.surgery!, 0.9211449078729, 7.32116653787);
  check(coxResiduals(fit, "scaled-schoenfeld").columns.age!, 0.0934000428774, 1.35835225151);
});

Deno.test("coxResiduals() matches the reference library with weights", () => {
  const fit = coxRegression(models.weightedLung("female", "age", "phEcog"));
  const score = coxResiduals(fit, "score").columns;
  assertAllClose(
    Object.values(score).map(squares),
    [39.5940309784, 15047.7962661348, 105.6327422125],
    digits,
  );
  const scaled = coxResiduals(fit, "scaled-schoenfeld").columns;
  assertAllClose(
    Object.values(scaled).map(squares),
    [307.854007312619, 0.873567413756, 221.450142672012],
    digits,
  );
  const martingale = coxResiduals(fit, "martingale").values;
  assertAllClose(martingale.subarray(0, 2), [0.0119602465062, 0.1106915807958], digits);
});

Deno.test("coxResiduals() gives Breslow's martingale residuals after exact ties, and no others", () => {
  const fit = coxRegression(models.freireich(), { ties: "exact" });
  const { values } = coxResiduals(fit, "martingale");
  // Reference: as above, ties = "exact".
  assertAllClose(
    values.subarray(0, 4),
    [0.920387720407, -1.766817307345, 0.786544531635, -0.458984499058],
    digits,
  );
  assert.throws(() => coxResiduals(fit, "score"), DataError);
});

// Identities.
Deno.test("coxResiduals() add up: martingale and weighted score to 0, dfbeta to the sandwich", () => {
  const data = models.weightedLung("female", "age", "phEcog");
  const fit = coxRegression(data);
  const weight = data.weight!;
  const weighted = (column: Float64Array) =>
    column.reduce((sum, value, i) => sum + weight[i]! * value, 0);
  const none = { relative: 0, absolute: 1e-7 };
  assertClose(weighted(coxResiduals(fit, "martingale").values), 0, none);
  for (const column of Object.values(coxResiduals(fit, "score").columns)) {
    assertClose(weighted(column), 0, none);
  }
  const dfbeta = Object.values(coxResiduals(fit, "dfbeta").columns);
  const robust = fit.robustCovariance!;
  dfbeta.forEach((column, j) => assertClose(squares(column), robust[j * 3 + j]!, digits));
});

Deno.test("coxResiduals() name the row and time of each event", () => {
  const data = models.lung();
  const { row, time, columns } = coxResiduals(coxRegression(data), "schoenfeld");
  assert.equal(row.length, 164);
  row.forEach((i, e) => {
    assert.equal(data.event[i], 1);
    assert.equal(data.time[i], time[e]);
  });
  assert.deepEqual(Object.keys(columns), ["age", "sex", "ph.ecog"]);
});
