import { dictionary } from "../cohort/dictionary/mod.ts";
import {
  cohortFiles,
  demoCohort,
  demoTruth,
  inventedLifeTable,
  simulateCohort,
} from "./rows/mod.ts";
import { secondCentreFiles, simulateSecondCentre } from "./second-centre/mod.ts";
import { trueAnswers, truthFile } from "./truth/mod.ts";

// Writes the files of data-demo/ that are made by a program: `deno task demo-data`.
const folder = new URL("../../data-demo/", import.meta.url);
const files: Record<string, string> = {
  ...cohortFiles(simulateCohort(demoCohort)),
  "dictionary.json": JSON.stringify(dictionary, null, 2) + "\n",
  "life-table.csv": inventedLifeTable(),
  "truth.json": truthFile(trueAnswers(demoTruth)),
};
for (const [name, text] of Object.entries(files)) {
  Deno.writeTextFileSync(new URL(name, folder), text);
  console.log(`data-demo/${name}: ${new TextEncoder().encode(text).length} bytes`);
}
const second = new URL("second-centre/", folder);
for (const [name, bytes] of Object.entries(secondCentreFiles(simulateSecondCentre()))) {
  Deno.writeFileSync(new URL(name, second), bytes);
  console.log(`data-demo/second-centre/${name}: ${bytes.length} bytes`);
}
