import assert from "node:assert/strict";
import fc from "fast-check";
import { cumulativeIncidence, kaplanMeier } from "mitral";
import { incidenceDifference, incidenceIgnoringCompetingEvents } from "mitral";
import type { FollowUp } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { followUps, reorder, replicate, type Rows } from "../generate.ts";
import { EXACT } from "./mgus2.ts";

/** Row by row, from the definition: the slow estimate that the fast one is held against. */
function slow(rows: FollowUp, cause: number, t: number): number {
  const n = rows.time.length;
  const w = (i: number) => rows.weight?.[i] ?? 1;
  const distinct = [...new Set(Array.from(rows.time))].sort((a, b) => a - b);
  let free = 1;
  let incidence = 0;
  for (const u of distinct.filter((u) => u <= t)) {
    let risk = 0, all = 0, own = 0;
    for (let i = 0; i < n; i++) {
      if (!(rows.time[i]! >= u && (rows.entry?.[i] ?? -Infinity) < u)) continue;
      risk += w(i);
      if (rows.time[i] === u && rows.event[i]! > 0) all += w(i);
      if (rows.time[i] === u && rows.event[i] === cause) own += w(i);
    }
    incidence += free * own / risk;
    free *= Math.max(0, 1 - all / risk);
    if (free < 1e-13) free = 0;
  }
  return incidence;
}

// Identity: the standard error is the root of the summed squares of
// (weighted) numerical derivatives;
// with late entry and neither weights nor clusters the delta method is that to first order only.
Deno.test("cumulativeIncidence() standard errors are those of the numerical derivative", () => {
  fc.assert(
    fc.property(followUps({ max: 14 }), fc.integer({ min: 1, max: 4 }), (rows, clusters) => {
      const fit = cumulativeIncidence(rows, { causes: [1, 2] });
      const cluster = rows.time.map((_, i) => i % clusters);
      const clustered = cumulativeIncidence({ ...rows, cluster }, { causes: [1, 2] });
      const weight = rows.weight ?? rows.time.map(() => 1);
      const t = fit.time[fit.time.length >> 1]!;
      for (const cause of [1, 2]) {
        const influence = weight.map((w, i) => {
          const moved = (h: number) =>
            slow({ ...rows, weight: weight.map((v, j) => j === i ? v * (1 + h) : v) }, cause, t);
          return w * (moved(1e-5) - moved(-1e-5)) / (2e-5 * w);
        });
        const sums = Array(clusters).fill(0) as number[];
        influence.forEach((value, i) => sums[i % clusters]! += value);
        const root = (values: number[]) => Math.sqrt(values.reduce((a, b) => a + b * b, 0));
        const near = { relative: 1e-6, absolute: 1e-7 };
        const place = cause - 1;
        assertClose(fit.causes[place]!.at([t]).incidence[0]!, slow(rows, cause, t), EXACT);
        if (rows.weight || !rows.entry) {
          assertClose(fit.causes[place]!.at([t]).standardError[0]!, root(influence), near, "rows");
        }
        assertClose(
          clustered.causes[place]!.at([t]).standardError[0]!,
          root(sums),
          near,
          "clusters",
        );
      }
    }),
    { numRuns: 150 },
  );
});

Deno.test("cumulativeIncidence() adds up to 1 with the event-free at every time", () => {
  fc.assert(fc.property(followUps({ causes: 4 }), (rows) => {
    const fit = cumulativeIncidence(rows);
    fit.time.forEach((_, j) => {
      const total = fit.causes.reduce((sum, cause) => sum + cause.incidence[j]!, 0);
      assertClose(total + fit.eventFree[j]!, 1, { relative: 0, absolute: 1e-12 });
    });
  }));
});

Deno.test("cumulativeIncidence() does not depend on row order or on the unit of time", () => {
  // found by chance: everybody at risk fails at once, others enter later, and the error is 0
  const leftAlone: [Rows, number[]] = [{
    time: [1.5, 1.5, 0, 2.5, 1.25, 2, 1, 2, 1.25],
    event: [0, 0, 1, 0, 0, 0, 1, 0, 0],
    entry: [1.25, 1, -0.25, 1.25, 0.75, 1, 0.75, 1.75, 1],
    weight: [
      2.2582858315958876,
      1.3525567810746084,
      0.1162978430861495,
      0.11452962534977434,
      0.11069615893984358,
      2.8260651194904374,
      0.9761333828712319,
      0.16935582569927435,
      1.4934594780652517,
    ],
  }, [8, 2, 3, 4, 0, 7, 5, 6, 1]];
  const shuffled = followUps().chain((rows) =>
    fc.tuple(
      fc.constant(rows),
      fc.shuffledSubarray(rows.time.map((_, i) => i), { minLength: rows.time.length }),
    )
  );
  fc.assert(
    fc.property(shuffled, ([rows, order]) => {
      const fit = cumulativeIncidence(rows);
      const other = cumulativeIncidence({
        time: reorder(rows.time, order).map((t) => t * 365.25),
        event: reorder(rows.event, order),
        ...(rows.entry && { entry: reorder(rows.entry, order).map((t) => t * 365.25) }),
        ...(rows.weight && { weight: reorder(rows.weight, order) }),
      });
      fit.causes.forEach((cause, k) => {
        assertAllClose(other.causes[k]!.incidence, cause.incidence, EXACT);
        assertAllClose(other.causes[k]!.standardError, cause.standardError, {
          relative: 1e-8,
          absolute: 1e-10,
        });
      });
    }),
    { examples: [[leftAlone]] },
  );
});

Deno.test("cumulativeIncidence() takes a whole weight as so many rows", () => {
  fc.assert(fc.property(followUps({ whole: true }), (rows) => {
    const fit = cumulativeIncidence(rows);
    const other = cumulativeIncidence(replicate(rows));
    fit.causes.forEach((cause, k) =>
      assertAllClose(other.causes[k]!.incidence, cause.incidence, EXACT)
    );
  }));
});

Deno.test("cumulativeIncidence() of one cause is one minus Kaplan-Meier, errors included", () => {
  fc.assert(fc.property(followUps({ causes: 1, weight: false }), (rows) => {
    const cause = cumulativeIncidence(rows, { causes: [1] }).causes[0]!;
    const km = kaplanMeier(rows);
    assertAllClose(cause.incidence, km.survival.map((s) => 1 - s), EXACT);
    const near = { relative: 1e-7, absolute: 1e-9 };
    cause.standardError.forEach((error, j) => {
      // where the curve reaches 0 Greenwood's formula has no value
      if (km.survival[j]! > 0) assertClose(error, km.standardError[j]!, near);
    });
  }));
});

Deno.test("cumulativeIncidence() is never above the estimate that censors competing events", () => {
  fc.assert(fc.property(followUps(), (rows) => {
    const fit = cumulativeIncidence(rows, { causes: [1, 2] }).causes[0]!;
    const ignoring = incidenceIgnoringCompetingEvents(rows, { cause: 1 });
    fit.incidence.forEach((value, j) => assert.ok(value <= ignoring.incidence[j]! + 1e-12));
  }));
});

// Identity: a pair whose two members have the same history cancels in the difference.
Deno.test("incidenceDifference() carries the covariance of matched pairs", () => {
  fc.assert(fc.property(followUps({ weight: false, max: 20 }), (rows: Rows) => {
    const twice = (values: number[]) => [...values, ...values];
    const data = {
      time: twice(rows.time),
      event: twice(rows.event),
      ...(rows.entry && { entry: twice(rows.entry) }),
      group: [...rows.time.map(() => "a"), ...rows.time.map(() => "b")],
      cluster: twice(rows.time.map((_, i) => i)),
    };
    const t = Math.max(...rows.time);
    const [contrast] = incidenceDifference(data, { cause: 1, times: [t] });
    assertClose(contrast!.difference.standardError, 0, EXACT);
    const apart = { ...data, cluster: data.time.map((_, i) => i) };
    if (!rows.entry) {
      const { cluster: _, ...unlabelled } = data;
      const [alone] = incidenceDifference(unlabelled, { cause: 1, times: [t] });
      const [each] = incidenceDifference(apart, { cause: 1, times: [t] });
      assertClose(alone!.difference.standardError, each!.difference.standardError, {
        relative: 1e-7,
        absolute: 1e-7,
      });
    }
    const [independent] = incidenceDifference(apart, { cause: 1, times: [t] });
    assertClose(
      independent!.difference.standardError,
      Math.SQRT2 * independent!.groups[0]!.standardError,
    );
  }));
});
