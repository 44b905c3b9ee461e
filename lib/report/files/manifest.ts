import { type ReportModel, waivers } from "../model/mod.ts";
import type { SealProof } from "../seal/mod.ts";

/** What only the manifest tells of a run. */
export interface RunRecord {
  startedAt: string;
  /** When a report was first made in the folder: outcomes have been seen since. */
  firstRunAt: string;
  seconds: number;
  /** SHA-256 of every file written, by path. */
  outputs: Record<string, string>;
  /** SHA-256 of each notebook's file, by its id. */
  notebooks: ReadonlyMap<string, string>;
  /** SHA-256 of code and data beside the notebooks, by file name. */
  beside: ReadonlyMap<string, string>;
  /** SHA-256 of the library. */
  library: string;
  /** What was tried, before anything was written, to work out counts of too few. */
  smallCounts: SealProof;
}

/** The manifest: what went in, what came out, with what, and how long it took. */
export function manifestJson(
  model: ReportModel,
  options: RunRecord,
): string {
  const { study, files, lockSha256, versions, runs, failures, items } = model;
  return `${
    JSON.stringify(
      {
        study: study.name,
        complete: failures.length === 0,
        seed: study.seed,
        inputs: [
          ...files,
          { role: "lock", name: "deno.lock", sha256: lockSha256 },
          { role: "library", name: "lib and deno.json", sha256: options.library },
        ],
        versions,
        /** What was let through although it looks like identifiers, as the study file says. */
        notIdentifying: waivers(study),
        notebooks: runs.map(({ notebook, failure, seconds, kept }) => ({
          name: notebook.id,
          sha256: options.notebooks.get(notebook.id),
          complete: failure === undefined,
          ...(failure && { failure }),
          secondsToFirstCell: milliseconds(seconds.start),
          seconds: milliseconds(seconds.total),
          /** Whether the result of an earlier run was used, to which the seconds belong. */
          kept: kept ?? false,
        })),
        besideNotebooks: [...options.beside].map(([name, sha256]) => ({ name, sha256 })),
        smallCounts: options.smallCounts,
        failures,
        warnings: items.warnings,
        /** SHA-256 of every file written, by path. */
        outputs: options.outputs,
        startedAt: options.startedAt,
        firstRunAt: options.firstRunAt,
        seconds: milliseconds(options.seconds),
      },
      null,
      2,
    )
  }\n`;
}

/** The project's version, Deno's, and that of every package the project names, by name. */
export function versionsOf(config: {
  version?: string;
  imports?: Record<string, string>;
}): Record<string, string> {
  const packages: [string, string][] = [];
  for (const target of Object.values(config.imports ?? {})) {
    const found = /^npm:(@?[^@]+)@(.+)$/.exec(target);
    if (found?.[1] && found[2]) packages.push([found[1], found[2]]);
  }
  packages.sort(([a], [b]) => (a < b ? -1 : 1));
  return {
    mitral: config.version ?? "unversioned",
    deno: Deno.version.deno,
    v8: Deno.version.v8,
    "typescript of deno": Deno.version.typescript,
    ...Object.fromEntries(packages),
  };
}

function milliseconds(seconds: number): number {
  return Math.round(seconds * 1000) / 1000;
}
