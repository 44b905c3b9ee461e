/**
 * What runs inside a sandboxed child to list who was left out: prints `excluded.csv`, one line a
 * patient. Neither the report nor its parent process ever reads a row; this does, shut off like a
 * notebook, and the list is for the group's own eyes.
 *
 * Argument: the run's file paths as JSON.
 */
import process from "node:process";
import { readCohort, selectEligible } from "../cohort/mod.ts";
import { openStudy } from "../study/mod.ts";
import { harmless } from "./csv.ts";
import { stringify } from "csv-stringify/sync";

// some packages list the environment while they load, which a sandboxed run may not read
Object.defineProperty(process, "env", { value: {}, configurable: false, writable: false });
Reflect.set(globalThis, Symbol.for("mitral.run"), JSON.parse(Deno.args[0] ?? "{}"));
const study = await openStudy();
const { excluded } = selectEligible(await readCohort(study), study);
const lines = excluded.map(({ id, step, reason }) => [id, step, reason].map(harmless));
const text = stringify([["patient", "step", "reason"], ...lines], { record_delimiter: "windows" });
const bytes = new TextEncoder().encode(text);
for (let sent = 0; sent < bytes.length;) sent += Deno.stdout.writeSync(bytes.subarray(sent));
