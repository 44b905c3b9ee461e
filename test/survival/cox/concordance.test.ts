import assert from "node:assert/strict";
import fc from "fast-check";
import { coxRegression } from "mitral";

// By its definition, pair by pair: within a stratum, of two rows the one with the earlier event
// should have the higher score.
Deno.test("concordance counts the pairs within each stratum, however many strata there are", () => {
  const rows = fc.array(
    fc.record({ x: fc.integer({ min: -5, max: 5 }), event: fc.boolean(), wait: fc.nat(1000) }),
    { minLength: 12, maxLength: 40 },
  );
  fc.assert(fc.property(rows, fc.integer({ min: 1, max: 4 }), (list, strata) => {
    // no two times are equal
    const time = list.map(({ wait }, i) => 1 + wait + i / 100);
    const event = list.map(({ event }, i) => event || i < 3 ? 1 : 0);
    const x = list.map(({ x }) => x);
    fc.pre(new Set(x).size > 2);
    const stratum = list.map((_, i) => i % strata);
    const fit = coxRegression({
      ...{ time, event, covariates: { x } },
      ...(strata > 1 && { stratum }),
    });
    const beta = fit.terms[0]?.coefficient ?? NaN;
    fc.pre(fit.converged && Math.abs(beta) > 1e-6);
    let concordant = 0;
    let discordant = 0;
    for (let i = 0; i < list.length; i++) {
      for (let j = 0; j < list.length; j++) {
        if (stratum[i] !== stratum[j] || event[i] !== 1 || !(time[i]! < time[j]!)) continue;
        const ahead = beta * (x[i]! - x[j]!);
        if (ahead > 0) concordant++;
        else if (ahead < 0) discordant++;
      }
    }
    assert.equal(fit.concordance.concordant, concordant);
    assert.equal(fit.concordance.discordant, discordant);
  }));
});
