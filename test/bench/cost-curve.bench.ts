// Seconds against rows for every estimator that is meant for a million of them, as a table and a
// drawing. Run: deno run -A test/bench/cost-curve.bench.ts [write] With `write` the table and the
// drawing that DEVELOPERS.md shows are replaced.
import * as Plot from "@observablehq/plot";
import { parseHTML } from "linkedom";
import {
  coxRegression,
  cumulativeIncidenceByGroup,
  grayTest,
  kaplanMeierByGroup,
  logisticRegression,
  logRank,
  matchPairs,
  proportionalHazardsTest,
  SeededRandom,
  subdistributionRegression,
} from "mitral";
import { orderOf } from "../../lib/numerics/columns/order.ts";
import { bestOf } from "./with-oracle.ts";

const sizes = [1000, 10_000, 100_000, 1_000_000];
const covariateCount = 10;

function cohort(n: number) {
  const random = new SeededRandom(11);
  const covariates: Record<string, Float64Array> = {};
  for (let k = 0; k < covariateCount; k++) {
    covariates[`x${k}`] = Float64Array.from({ length: n }, () => random.normal());
  }
  const time = Float64Array.from(
    { length: n },
    () => Math.ceil(3652.5 * random.uniform()) / 365.25,
  );
  const cause = Int32Array.from({ length: n }, () => random.choice([5, 3, 2]));
  const group = Uint8Array.from({ length: n }, () => random.bernoulli(0.4));
  const pair = Int32Array.from({ length: n }, (_, i) => i >> 1);
  const event = cause.map((code) => code === 1 ? 1 : 0);
  return { time, cause, event, group, pair, covariates };
}

type Cohort = ReturnType<typeof cohort>;
const works: Record<string, (data: Cohort) => unknown> = {
  "order times": ({ time }) => orderOf(time),
  "Kaplan-Meier, 2 groups": ({ time, event, group }) => kaplanMeierByGroup({ time, event, group }),
  "log-rank": ({ time, event, group }) => logRank({ time, event, group }),
  "Cox, 10 covariates": ({ time, event, covariates }) => coxRegression({ time, event, covariates }),
  "Cox, clusters of 2": ({ time, event, covariates, pair }) =>
    coxRegression({ time, event, covariates, cluster: pair }),
  "proportional hazards test": (data) => proportionalHazardsTest(fitOf(data)),
  "cumulative incidence, 2 groups": ({ time, cause, group }) =>
    cumulativeIncidenceByGroup({ time, event: cause, group }),
  "Gray's test": ({ time, cause, group }) => grayTest({ time, event: cause, group }, { cause: 1 }),
  "subdistribution, 10 covariates": ({ time, cause, covariates }) =>
    subdistributionRegression({ time, event: cause, covariates }, { cause: 1 }),
  "logistic, 10 covariates": ({ group, covariates }) =>
    logisticRegression({ outcome: group, covariates }),
  "greedy matching": ({ group, covariates }) =>
    matchPairs({ treated: group, score: covariates.x0 ?? [] }),
};

const fits = new WeakMap<Cohort, ReturnType<typeof coxRegression>>();
function fitOf(data: Cohort): ReturnType<typeof coxRegression> {
  let fit = fits.get(data);
  if (!fit) {
    const { time, event, covariates } = data;
    fits.set(data, fit = coxRegression({ time, event, covariates }));
  }
  return fit;
}

const points: { work: string; rows: number; seconds: number }[] = [];
for (const rows of sizes) {
  const data = cohort(rows);
  for (const [work, run] of Object.entries(works)) {
    const { seconds } = bestOf(rows >= 1_000_000 ? 2 : 4, () => run(data));
    points.push({ work, rows, seconds });
  }
}

const heading = (rows: number) => rows.toLocaleString("en-GB");
const lines = [
  `| seconds for rows of | ${sizes.map(heading).join(" | ")} |`,
  `| --- | ${sizes.map(() => "---:").join(" | ")} |`,
  ...Object.keys(works).map((work) =>
    `| ${work} | ${
      points.filter((point) => point.work === work)
        .map(({ seconds }) => seconds.toPrecision(2)).join(" | ")
    } |`
  ),
];
console.log(lines.join("\n"));

if (Deno.args.includes("write")) {
  const { document } = parseHTML("<html></html>");
  const drawing = Plot.plot({
    document,
    width: 760,
    height: 460,
    marginRight: 220,
    marginLeft: 60,
    x: { type: "log", label: "Rows", tickFormat: "~s" },
    y: { type: "log", label: "Seconds", ticks: 6, tickFormat: "~g", grid: true },
    marks: [
      Plot.line(points, { x: "rows", y: "seconds", z: "work", stroke: "#666" }),
      Plot.dot(points, { x: "rows", y: "seconds", fill: "#333", r: 2.5 }),
      Plot.text(endLabels(), {
        x: () => sizes.at(-1),
        y: "at",
        text: "work",
        textAnchor: "start",
        dx: 10,
      }),
    ],
  });
  drawing.setAttribute("xmlns", "http://www.w3.org/2000/svg");
  drawing.setAttribute("font-family", "system-ui, sans-serif");
  drawing.setAttribute("font-size", "13");
  drawing.setAttribute("style", "background: #fff");
  const folder = new URL(".", import.meta.url);
  Deno.writeTextFileSync(new URL("cost-curve.svg", folder), drawing.outerHTML + "\n");
  Deno.writeTextFileSync(new URL("cost-curve.md", folder), lines.join("\n") + "\n");
}

/** Names at the ends of the lines, moved apart so that none covers another. */
function endLabels(): { work: string; at: number }[] {
  const last = points.filter(({ rows }) => rows === sizes.at(-1))
    .sort((a, b) => a.seconds - b.seconds);
  let below = 0;
  return last.map(({ work, seconds }) => {
    const at = Math.max(seconds, below * 1.32);
    below = at;
    return { work, at };
  });
}
