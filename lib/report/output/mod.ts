/** The folder of a report: replaced whole, checked afterwards. @module */
export { type ReportContents, writeReport } from "./replace-output.ts";
export { changedInputs, type Manifest, type Verified, verifyOutput } from "./verify.ts";
