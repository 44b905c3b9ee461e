/** Run by a test inside the notebooks' sandbox: prints what a bootstrap in two workers gives. */
import { bootstrapInWorkers } from "../../../lib/sensitivity/bootstrap/bootstrap-in-workers.ts";

const x = Float64Array.from({ length: 40 }, (_, i) => (i * 7) % 11);
const statistic = { module: new URL("./means.ts", import.meta.url).href, name: "means", input: x };
const [mean] = await bootstrapInWorkers(40, statistic, { seed: 5, replicates: 60, workers: 2 });
console.log(JSON.stringify(Array.from(mean?.replicates ?? [])));
