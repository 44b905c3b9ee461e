// Random cohorts through our estimators and, in one process, the reference library: prints the
// largest relative difference of each method. Needs Rscript with the survival package; not part of
// the tests. Two conventions differ, and count as undefined in one of the two: at S = 1 we give
// log-log limits [1, 1], it none; where S = 0 we give no robust error, it some number. Run: deno
// run -A test/live/survival-live.ts [cohorts]
import { kaplanMeier, logRank, medianFollowUp, restrictedMeanSurvival, SeededRandom } from "mitral";

interface Cohort {
  time: number[];
  event: number[];
  entry: number[];
  weight: number[];
  group: number[];
  stratum: number[];
}

/** Ties (whole or quarter units, or none), entries and weights; every third cohort is large. */
function drawCohort(random: SeededRandom, index: number): Cohort {
  const n = index % 3 === 0 ? 200 : 5 + random.integer(40);
  const grid = [1, 0.25, 0][index % 3 === 0 ? 2 : random.integer(3)]!;
  const cohort: Cohort = { time: [], event: [], entry: [], weight: [], group: [], stratum: [] };
  for (let i = 0; i < n; i++) {
    const t = random.exponential(0.2) + 0.01;
    const time = grid ? Math.ceil(t / grid) * grid : t;
    cohort.time.push(time);
    cohort.event.push(random.bernoulli(0.6));
    cohort.entry.push(random.bernoulli(0.5) ? 0 : time * random.uniform());
    cohort.weight.push(0.2 + 3 * random.uniform());
    cohort.group.push(i < 3 ? i % 3 : random.integer(3));
    cohort.stratum.push(i < 2 ? i : random.integer(4));
  }
  return cohort;
}

type Values = Map<string, number>;

/** The same keys as survival-live.R gives. */
function ours(cohort: Cohort): Values {
  const { time, event, entry, weight, group, stratum } = cohort;
  const values: Values = new Map();
  const column = (method: string, numbers: ArrayLike<number>) => {
    for (let i = 0; i < numbers.length; i++) values.set(`${method},${i + 1}`, numbers[i]!);
  };
  for (const interval of ["plain", "log", "log-log"] as const) {
    const curve = kaplanMeier({ time, event }, { interval });
    column("survival", curve.survival);
    column("standard error", curve.standardError);
    column(`${interval} lower`, curve.lower);
    column(`${interval} upper`, curve.upper);
    for (const p of [25, 50, 75]) {
      const { estimate, lower, upper } = curve.quantile(p / 100);
      values.set(`quantile,${p}`, estimate);
      values.set(`quantile ${interval} lower,${p}`, lower);
      values.set(`quantile ${interval} upper,${p}`, upper);
    }
  }
  const late = kaplanMeier({ time, event, entry });
  column("delayed entry survival", late.survival);
  column("delayed entry error", late.standardError);
  const weighted = kaplanMeier({ time, event, weight });
  column("weighted survival", weighted.survival);
  column("robust error", weighted.standardError);
  const clustered = kaplanMeier({ time, event, weight, cluster: stratum });
  column("clustered error", clustered.standardError);
  values.set("median follow-up,50", medianFollowUp({ time, event }).estimate);
  const mean = restrictedMeanSurvival({ time, event }, { horizon: Math.max(...time) });
  values.set("restricted mean,1", mean.estimate);
  values.set("its error,1", mean.standardError);
  values.set("log-rank,1", logRank({ time, event, group }).statistic);
  values.set("log-rank rho 1,1", logRank({ time, event, group }, { rho: 1 }).statistic);
  values.set("log-rank stratified,1", logRank({ time, event, group, stratum }).statistic);
  values.set("log-rank delayed entry,1", logRank({ time, event, entry, group }).statistic);
  return values;
}

const count = Number(Deno.args[0] ?? 500);
const random = new SeededRandom(20);
const cohorts = Array.from({ length: count }, (_, i) => drawCohort(random, i));
const input = Deno.makeTempFileSync({ suffix: ".csv" });
const output = Deno.makeTempFileSync({ suffix: ".csv" });
const header = "cohort,row,time,event,entry,weight,group,stratum\n";
const lines = cohorts.flatMap((c, id) =>
  c.time.map((t, i) =>
    [id, i, t, c.event[i], c.entry[i], c.weight[i], c.group[i], c.stratum[i]].join(",")
  )
);
Deno.writeTextFileSync(input, header + lines.join("\n") + "\n");
const script = new URL("survival-live.R", import.meta.url).pathname;
const run = new Deno.Command("Rscript", { args: [script, input, output], stderr: "inherit" });
if (!run.outputSync().success) throw new Error("The reference could not be run");

const worst = new Map<
  string,
  { compared: number; undefinedInOne: number; largest: number; where: string; undefinedAt: string }
>();
let known: Values = new Map();
let last = -1;
for (const line of Deno.readTextFileSync(output).trim().split("\n")) {
  const [id, method, key, text] = line.split(",") as [string, string, string, string];
  if (Number(id) !== last) known = ours(cohorts[last = Number(id)]!);
  const mine = known.get(`${method},${key}`)!;
  const theirs = text === "NaN" || text === "NA" ? NaN : Number(text);
  const entry = worst.get(method) ??
    { compared: 0, undefinedInOne: 0, largest: 0, where: "", undefinedAt: "" };
  worst.set(method, entry);
  if (Number.isNaN(mine) !== Number.isNaN(theirs)) {
    entry.undefinedInOne++;
    entry.undefinedAt ||= `cohort ${id}, ${key}: ${mine} v ${theirs}`;
    continue;
  }
  if (Number.isNaN(mine)) continue;
  entry.compared++;
  const difference = Math.abs(mine - theirs) / Math.max(Math.abs(theirs), 1e-9);
  if (difference > entry.largest) {
    entry.largest = difference;
    entry.where = `cohort ${id}, ${key}: ${mine} v ${theirs}`;
  }
}
Deno.removeSync(input);
Deno.removeSync(output);
console.table(
  [...worst].map(([method, { largest, where, undefinedAt, ...counts }]) => ({
    method,
    ...counts,
    "largest relative difference": largest.toPrecision(2),
    where: undefinedAt || (largest > 1e-7 ? where : ""),
  })),
);
