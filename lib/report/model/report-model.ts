import type { FileRecord, Study } from "../../study/file/mod.ts";
import type { PlanLock } from "../../study/lock/mod.ts";
import type { Items } from "./items.ts";
import type { MethodsUsed } from "../methods/mod.ts";
import type { NotebookFailure, NotebookRun } from "../notebooks/mod.ts";

/**
 * Everything a report is written from. Holds no times, so that the same inputs give the same bytes.
 */
export interface ReportModel {
  study: Study;
  runs: NotebookRun[];
  items: Items;
  /** Read off the code of the cells that ran. */
  methods: MethodsUsed;
  failures: NotebookFailure[];
  /** What fixed the plan before outcomes were looked at; null where nothing did. */
  lock: PlanLock | null;
  /** Of the plan as it is now. */
  planSha256: string;
  /** The study file and both tables, by hash. */
  files: FileRecord[];
  /** SHA-256 of the lock file, which fixes every package. */
  lockSha256: string;
  /** Name to version: the project, Deno and every package it names. */
  versions: Record<string, string>;
}
