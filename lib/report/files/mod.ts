/** What a run writes, one kind of file each. @module */
export { captionsText } from "./captions.ts";
export { publishedPlan } from "./published-plan.ts";
export { excludedList, keptList } from "./excluded-list.ts";
export { type FindingsFile, findingsJson, findingsSchema } from "./findings-json.ts";
export { manifestJson, versionsOf } from "./manifest.ts";
export { rememberCsv, tableCsv } from "./table-csv.ts";
