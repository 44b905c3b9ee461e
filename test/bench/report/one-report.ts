// One report over a large cohort, and what it cost: printed as JSON. Run by report-cost.ts.
import { buildReport } from "../../../lib/report/build-report.ts";

const [folder, out] = Deno.args;
const encoder = new TextEncoder();
const say = (text: string) => Deno.stderr.writeSync(encoder.encode(`${text}\n`));
const began = performance.now();
const at = () => ((performance.now() - began) / 1000).toFixed(1);
const { model } = await buildReport({
  cohort: `${folder}/patients.csv`,
  visits: `${folder}/visits.csv`,
  out,
  typeCheck: false,
  fresh: true,
  progress: {
    step: (what) => say(`${at()} ${what}`),
    cell: () => {},
    done: (id, what) => say(`${at()} ${id} ${what}`),
  },
});
console.log(JSON.stringify({
  seconds: (performance.now() - began) / 1000,
  notebooks: model.runs.map(({ notebook, seconds }) => ({ id: notebook.id, ...seconds })),
  failures: model.failures,
}));
