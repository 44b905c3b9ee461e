// Every cut of the demonstration through every notebook:
// `deno task hostile [--only TEXT] [--every N] [--from N] [--to N]`. Some eighty reports, so it is
// no part of the tests; a few are (test/whole-reports). --every 3 keeps a third of the patients,
// --from goes on from a cut, --to ends with one.
import { parseArgs } from "node:util";
import { timeLeftText } from "../../lib/words/mod.ts";
import { cuts } from "./cuts.ts";
import { reportOnCut } from "./cut-cohort.ts";
import { judge } from "./judge.ts";

const { values } = parseArgs({
  options: {
    only: { type: "string", default: "" },
    every: { type: "string", default: "1" },
    from: { type: "string", default: "1" },
    to: { type: "string", default: "Infinity" },
  },
});
const chosen = cuts().filter(({ name }) => name.includes(values.only));
const first = Number(values.from);
const last = Math.min(Number(values.to), chosen.length);
const began = performance.now();
let bad = 0;
for (const [i, { name, mustNotSay, ...cut }] of chosen.entries()) {
  if (i + 1 < first || i + 1 > last) continue;
  const report = await reportOnCut(cut, { every: Number(values.every) });
  const defects = judge(report, { mustNotSay });
  if (defects.length > 0) bad++;
  const left = timeLeftText(
    i + 2 - first,
    last + 1 - first,
    (performance.now() - began) / 1000,
  );
  console.log(
    `${i + 1}/${chosen.length} ${defects.length > 0 ? "DEFECT" : "fine  "} ${name}${
      left && ` (${left})`
    }`,
  );
  for (const line of defects) console.log(`    ${line}`);
}
console.log(`${last + 1 - first - bad} passed, ${bad} failed`);
Deno.exit(bad > 0 ? 1 : 0);
