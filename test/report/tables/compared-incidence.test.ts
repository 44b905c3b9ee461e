import assert from "node:assert/strict";
import { compareIncidence, cumulativeIncidence, SeededRandom } from "mitral";

const random = new SeededRandom(6);
const n = 200;
const group = Uint8Array.from({ length: n }, (_, i) => i % 2);
const time = Float64Array.from(group, () => 10 * random.uniform());
const event = Int32Array.from(group, () => random.integer(3));
const data = { design: "unadjusted" as const, time, event, group };
const labels = { repair: "Mended", replacement: "Replaced" };

Deno.test("compareIncidence() gives repair first, named as planned, with what is told elsewhere", () => {
  const compared = compareIncidence(data, {
    labels,
    horizons: [1, 5],
    causes: [1, 2],
    alongside: [{ ...data, event: event.map((e) => e === 2 ? 1 : 0) }],
  });
  assert.deepEqual(compared.groups.map(({ label, role }) => [label, role]), [
    ["Mended", "repair"],
    ["Replaced", "replacement"],
  ]);
  const own = (column: Float64Array | Int32Array) =>
    Float64Array.from(Array.from(column).filter((_, i) => group[i] === 1));
  const alone = cumulativeIncidence({ time: own(time), event: own(event) }, { causes: [1, 2] });
  assert.deepEqual(compared.groups[0]!.curve.causes[0]!.incidence, alone.causes[0]!.incidence);
  assert.deepEqual(compared.contrasts.map(({ time }) => time), [1, 5]);
  assert.equal(compared.within.length, 1);
  assert.equal(compared.groups[1]!.within!.length, 1);
  // repair minus replacement
  const [one] = compared.contrasts;
  const shares = [1, 0].map((code) => one!.groups.find(({ group }) => group === code)!.estimate);
  assert.ok(Math.abs(one!.difference.estimate - (shares[0]! - shares[1]!)) < 1e-12);
});
