import assert from "node:assert/strict";
import { logisticRegression, referralTable, SeededRandom } from "mitral";
import { clusterErrors } from "../../lib/programme/referral/few-clusters.ts";
import { assertClose } from "../close.ts";
import { referrals } from "./referrals.ts";

// Reference: base R 4.2.2, glm() to 1e-14, then the definition written out with n x n
// matrices and eigen():
// (I - H_gg)^-1/2 of each cluster's block of the hat matrix, and the eigenvalues' sums of the 3 x 3
// covariance of the adjusted scores, working covariance V + 0.135 * v v' within clusters.
Deno.test("clusterErrors() agrees with the definition in n x n matrices", () => {
  const row = Array.from({ length: 24 }, (_, i) => i);
  const code = Int32Array.from(row, (i) => [0, 1, -1, -1, 2][(i * i) % 5]!);
  const columns = [
    Float64Array.from(row, (i) => ((i * 7) % 10) / 10),
    Float64Array.from(row, (i) => i % 3 === 0 ? 1 : 0),
  ];
  const outcome = Uint8Array.from(row, (i) => (i * 11 + Math.floor(i / 5)) % 7 < 3 ? 1 : 0);
  const weight = Float64Array.from(row, (i) => 1 + (i % 4) / 4);
  const [x, z] = columns;
  const fit = logisticRegression({ outcome, covariates: { x: x!, z: z! }, weight });
  const coefficients = [0.262502487800499, 0.649419347713641, -0.676043148597865];
  fit.terms.forEach(({ coefficient }, j) =>
    assertClose(coefficient, coefficients[j]!, { relative: 1e-7, absolute: 0 })
  );
  const errorOf = clusterErrors({
    columns,
    outcome,
    weight,
    chance: fit.fitted,
    code,
    clusters: 3,
  });
  const { standardError, degreesOfFreedom } = errorOf([1, 0.4, 1]);
  assertClose(standardError, 0.767070792282825, { relative: 1e-6, absolute: 0 });
  assertClose(degreesOfFreedom, 1.894794387737505, { relative: 1e-6, absolute: 0 });
});

/** Clusters of twenty, each with so many events, and the band each is in. */
function clustersOf(events: readonly number[], band: readonly number[]) {
  const code = Int32Array.from({ length: 20 * events.length }, (_, i) => Math.floor(i / 20));
  const share = (b: number) => {
    const own = events.filter((_, g) => band[g] === b);
    return own.reduce((sum, count) => sum + count, 0) / 20 / own.length;
  };
  return {
    columns: band.includes(1) ? [Float64Array.from(code, (g) => band[g]!)] : [],
    outcome: Uint8Array.from(code, (g, i) => i % 20 < events[g]! ? 1 : 0),
    weight: new Float64Array(code.length).fill(1),
    chance: Float64Array.from(code, (g) => share(band[g]!)),
    code,
    clusters: events.length,
  };
}

// By hand: of k clusters alike in size, the error of their mean is the root of k / (k - 1) * sum of
// squared residuals over the information, on k - 1 degrees of freedom, whatever the spread
// of their levels;
// bands of different clusters know nothing of each other.
Deno.test("clusterErrors() of clusters alike in size is that of a mean of so many", () => {
  const events = [5, 9, 10, 14, 3, 6, 8, 4];
  const errorOf = (band: readonly number[], at: number[]) =>
    clusterErrors(clustersOf(events, band))(at);
  const byHand = (own: number[]) => {
    const k = own.length;
    const share = own.reduce((sum, count) => sum + count, 0) / 20 / k;
    const squares = own.reduce((sum, count) => sum + (count - 20 * share) ** 2, 0);
    return Math.sqrt(k / (k - 1) * squares) / (20 * k * share * (1 - share));
  };
  const close = { relative: 1e-9, absolute: 0 };
  const whole = errorOf(events.map(() => 0), [1]);
  assertClose(whole.standardError, byHand(events), close);
  assertClose(whole.degreesOfFreedom, 7, close);
  const band = [1, 1, 1, 0, 0, 0, 0, 0];
  const upper = errorOf(band, [1, 1]);
  assertClose(upper.standardError, byHand(events.slice(0, 3)), close);
  assertClose(upper.degreesOfFreedom, 2, close);
  const lower = errorOf(band, [1, 0]);
  assertClose(lower.standardError, byHand(events.slice(3)), close);
  assertClose(lower.degreesOfFreedom, 4, close);
});

Deno.test("referralTable() gives no limits where one surgeon bears a chance alone", () => {
  const made = referrals(new SeededRandom(4), { n: 600, surgeons: 6, spread: 0.3 });
  const { truth: _, ...data } = made;
  const profile = data.profile.map((kind, i) => data.cluster[i] === "S1" ? "rare" : kind);
  const { cells } = referralTable({ ...data, profile }, { horizon: 5 });
  for (const { profile: kind, chance } of cells) {
    const known = chance.lower > 0 && chance.upper < 1;
    assert.equal(known, kind !== "rare", String(kind));
    assert.ok(chance.lower <= chance.estimate && chance.estimate <= chance.upper);
  }
});

// Few draws of what test/calibration/programmes/programmes.md has in full: of 25 programmes of 12
// cells, limits hold the truth in 95 of 100. Cells of one programme go together: as few as 86 of
// 100 has a chance below 1e-3 (from the spread of programmes there, 8 points).
Deno.test("referralTable() holds the truth with seven surgeons who differ", () => {
  let [held, of] = [0, 0];
  for (let k = 0; k < 25; k++) {
    const { truth, ...data } = referrals(new SeededRandom(90 + k), { surgeons: 7, spread: 0.3 });
    for (const { profile, band, chance } of referralTable(data, { horizon: 5 }).cells) {
      const there = truth(String(profile), String(band));
      of++;
      if (chance.lower <= there && there <= chance.upper) held++;
    }
  }
  assert.equal(of, 300);
  assert.ok(held >= 0.86 * of, `${held} of ${of}`);
});
