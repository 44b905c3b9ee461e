// The search behind the estimate between visits: EM alone, as it was at first, and EM joined with
// convex minorants, on the same patients in one run.
// Run:  deno run -A test/bench/competing/visits-em.bench.ts [patients ...]
import { expectedCounts } from "../../../lib/competing/visits/expected-counts.ts";
import { fitIllnessDeath } from "../../../lib/competing/visits/illness-death-em.ts";
import {
  visitColumns,
  type VisitDesign,
  visitDesign,
} from "../../../lib/competing/visits/visit-design.ts";
import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";
import { bestOf } from "../with-oracle.ts";

const sizes = Deno.args.length ? Deno.args.map(Number) : [2000, 20_000];
/** Iterations after which EM alone is given up; it would go on for thousands. */
const patience = 1000;

/** An invented illness-death course, looked at about once a year. */
function course(n: number) {
  const random = new SeededRandom(31);
  const columns = {
    time: new Float64Array(n),
    death: new Uint8Array(n),
    lastClear: new Float64Array(n),
    found: new Float64Array(n).fill(Infinity),
  };
  for (let i = 0; i < n; i++) {
    const onset = random.exponential(0.06);
    const before = random.exponential(0.05);
    const dies = before < onset ? before : onset + random.exponential(0.1);
    const end = 3 + 9 * random.uniform();
    columns.time[i] = Math.min(dies, end);
    columns.death[i] = dies <= end ? 1 : 0;
    for (let t = random.exponential(1); t < columns.time[i]!; t += random.exponential(1)) {
      if (t > onset) {
        columns.found[i] = t;
        break;
      }
      columns.lastClear[i] = t;
    }
  }
  return columns;
}

/** EM without anything beside it, until a tolerance is met or patience ends. */
function emAlone(design: VisitDesign, tolerance: number) {
  const { total, dying, alive, left } = design;
  const { at } = expectedCounts(design);
  let course = {
    mass: left.map(() => 1 / left.length),
    hazard: dying.map((d, v) => d / alive[v]!),
    ratio: 1,
  };
  let counts = at(course);
  let iterations = 0;
  let violation = Infinity;
  while (iterations < patience) {
    violation = counts.gradient.reduce((most, slope) => Math.max(most, slope), 0) / total - 1;
    if (violation <= tolerance) break;
    iterations++;
    let met = 0;
    const { mass, ratio } = course;
    const hazard = dying.map((d, v) => {
      const h = d / (alive[v]! + (ratio - 1) * counts.recurred[v]!);
      met += h * counts.recurred[v]!;
      return h;
    });
    course = {
      mass: mass.map((p, s) => p * counts.gradient[s]! / total),
      hazard,
      ratio: counts.dyingAfter / met,
    };
    counts = at(course);
  }
  return { iterations, violation, logLikelihood: counts.logLikelihood, ratio: course.ratio };
}

const rows = sizes.flatMap((n) => {
  const design = visitDesign(visitColumns(course(n)), "modelled");
  const runs = n > 5000 ? 1 : 3;
  const alone = bestOf(runs, () => emAlone(design, 1e-9));
  const joined = bestOf(
    runs,
    () => fitIllnessDeath(design, { ratio: "estimated", tolerance: 1e-9, maxIterations: 2000 }),
  );
  return ([["EM alone", alone], ["with minorants", joined]] as const).map((
    [search, { seconds, value }],
  ) => ({
    patients: n,
    search,
    "s": seconds.toFixed(2),
    iterations: value.iterations,
    "largest violation": value.violation.toExponential(1),
    "log-likelihood short of the best": (joined.value.logLikelihood - value.logLikelihood)
      .toExponential(1),
    "ratio (true 2)": value.ratio.toFixed(3),
  }));
});
console.table(rows);
