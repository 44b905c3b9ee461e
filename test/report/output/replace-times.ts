/**
 * Replaces the report in a folder so many times, trying again while another run has it, and says
 * each version on a line. Arguments: the folder, how often, a name for the versions.
 */
import { type ReportContents, writeReport } from "../../../lib/report/output/mod.ts";
import { type ClaimedOutput, claimOutput } from "../../../lib/report/claim/mod.ts";

const [folder = "", times = "", name = ""] = Deno.args;

async function claimed(): Promise<ClaimedOutput> {
  for (;;) {
    try {
      return await claimOutput(folder);
    } catch (error) {
      if (!String(error).includes("another run is writing")) throw error;
      await new Promise((resolve) => setTimeout(resolve, 2));
    }
  }
}

for (let k = 1; k <= Number(times); k++) {
  const output = await claimed();
  const version = `${name}-${k}`;
  const contents: ReportContents = new Map([["report.html", version], ["manifest.json", version]]);
  for (let n = 0; n < 20; n++) contents.set(`tables/${n}.csv`, `${version}\n`.repeat(200 * n + 1));
  await writeReport(output, contents);
  await output.release();
  console.log(version);
}
