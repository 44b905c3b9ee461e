/**
 * Replaces the report in a folder over and over, each time with another version of 40 files, until
 * it is killed. Argument: the folder.
 */
import { type ReportContents, writeReport } from "../../lib/report/output/mod.ts";
import { claimOutput } from "../../lib/report/claim/mod.ts";

const [folder = ""] = Deno.args;
for (let version = 1;; version++) {
  const claimed = await claimOutput(folder);
  const contents: ReportContents = new Map([["report.html", `${version}`]]);
  for (let k = 0; k < 38; k++) contents.set(`tables/${k}.csv`, `${version}\n`.repeat(500 * k + 1));
  contents.set("manifest.json", `${version}`);
  await writeReport(claimed, contents);
  await claimed.release();
  if (version === 1) console.log("begun");
}
