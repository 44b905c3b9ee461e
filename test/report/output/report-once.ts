/** Writes one report. Arguments: study file, folder of notebooks, folder of the report. */
import { buildReport } from "../../../lib/report/build-report.ts";

const [study, notebooks, out] = Deno.args;
await buildReport({ fresh: true, study, notebooks, out, typeCheck: false });
