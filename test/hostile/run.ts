// Every cut of the demonstration through every notebook: `deno task hostile [--only TEXT]`. Some
// ninety reports, so it is no part of the tests; a few of them are (test/report/other-cohorts).
import { parseArgs } from "node:util";
import { cuts } from "./cuts.ts";
import { reportOnCut } from "./cut-cohort.ts";

const { values } = parseArgs({ options: { only: { type: "string", default: "" } } });
const chosen = cuts().filter(({ name }) => name.includes(values.only));
let bad = 0;
for (const [i, { name, mayFail, mustNotSay, ...cut }] of chosen.entries()) {
  const { failures, text } = await reportOnCut(cut);
  const defects = failures.filter((line) => !mayFail?.test(line));
  const said = mustNotSay && text.match(mustNotSay);
  if (said) defects.push(`says “${said[0]}”`);
  if (defects.length > 0) bad++;
  console.log(`${i + 1}/${chosen.length} ${defects.length > 0 ? "DEFECT" : "fine  "} ${name}`);
  for (const line of defects) console.log(`    ${line}`);
}
console.log(`${chosen.length - bad} passed, ${bad} failed`);
Deno.exit(bad > 0 ? 1 : 0);
