import assert from "node:assert/strict";
import {
  cumulativeIncidenceByGroup,
  followUpOf,
  incidenceDifference,
  openAnalysis,
  poolContrasts,
  poolIncidence,
  underWeights,
  weightedSample,
} from "mitral";
import { assertClose } from "../close.ts";

// Kind: identity. What is drawn and what stands in a table agree; between events the drawn limits
// are formed anew once the number at risk has changed by one part in a hundred.
const { analysis, study } = await openAnalysis(
  new URL("../../data-demo/study.json", import.meta.url).pathname,
);
const { weight } = weightedSample(analysis, study);
const near = { relative: 0.01, absolute: 1e-9 };
const times = [0.25, 1, 3, 5, 10];

for (const endpoint of ["reoperation", "recurrence", "valve-failure"] as const) {
  const followUp = followUpOf(analysis, endpoint);
  const data = underWeights(followUp, weight);
  const curvesOf = (own: typeof data) =>
    cumulativeIncidenceByGroup(own, { interval: "as-compared" });
  const contrastsOf = (own: typeof data) => incidenceDifference(own, { cause: 1, times });

  Deno.test(`cumulativeIncidenceByGroup() draws the limits of incidenceDifference(): ${endpoint}`, () => {
    const curves = curvesOf(data);
    let few = 0;
    contrastsOf(data).forEach(({ time, groups }) =>
      groups.forEach(({ lower, upper, fewEvents }, k) => {
        const at = curves[k]!.causes[0]!.at([time]);
        assert.equal(at.few![0] === 1, fewEvents);
        if (fewEvents) few++;
        assertClose(at.lower[0]!, lower, near, `lower, ${time}`);
        assertClose(at.upper[0]!, upper, near, `upper, ${time}`);
      })
    );
    assert.ok(few > 0, "no horizon with few events was tried");
  });

  Deno.test(`poolIncidence() draws the limits of poolContrasts(): ${endpoint}`, () => {
    const uneven = underWeights(followUp, weight.map((w, i) => w * (i % 3 === 0 ? 1.1 : 1)));
    const sets = [data, uneven];
    const groups = sets.map(curvesOf);
    const pooled = [0, 1].map((k) => poolIncidence(groups.map((set) => set[k]!), { units: 1000 }));
    poolContrasts(sets.map(contrastsOf), { units: 1000 }).forEach(({ time, groups }) =>
      groups.forEach(({ lower, upper }, k) => {
        const at = pooled[k]!.causes[0]!.at([time]);
        assertClose(at.lower[0]!, lower, near, `lower, ${time}`);
        assertClose(at.upper[0]!, upper, near, `upper, ${time}`);
      })
    );
  });
}
