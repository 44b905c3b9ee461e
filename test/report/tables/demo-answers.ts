import { openAnalysis } from "../../../lib/missing/mod.ts";

const opened = await openAnalysis();
export const { analysis, study, asPlanned, labels } = opened;
