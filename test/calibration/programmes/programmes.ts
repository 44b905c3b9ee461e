import { parseArgs } from "node:util";
import { everybody } from "./everybody.ts";
import { noLearning } from "./no-learning.ts";
import { referral } from "./referral.ts";

// Estimators of the programme's own quality against simulated surgeons of known skill. Each part
// writes its own section of programmes.md. All operations alike some ten minutes, the
// others one each:
// deno run --allow-read --allow-write test/calibration/programmes/programmes.ts --part everybody
// --programmes 400
const { values } = parseArgs({
  options: {
    part: { type: "string", default: "everybody" },
    programmes: { type: "string", default: "400" },
  },
});
const parts: Record<string, (count: number) => void> = {
  everybody,
  "no-learning": noLearning,
  referral,
};
const part = parts[values.part];
if (!part) throw new Error(`--part is one of ${Object.keys(parts).join(", ")}`);
part(Number(values.programmes));
