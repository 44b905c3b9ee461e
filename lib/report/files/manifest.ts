import { type ReportModel, waivers } from "../model/mod.ts";

/** Times of one run, which only the manifest holds. */
export interface RunTimes {
  startedAt: string;
  seconds: number;
}

/** The manifest: what went in, what came out, with what, and how long it took. */
export function manifestJson(
  model: ReportModel,
  options: RunTimes & { outputs: Record<string, string> },
): string {
  const { study, files, lockSha256, versions, runs, failures, items } = model;
  return `${
    JSON.stringify(
      {
        study: study.name,
        complete: failures.length === 0,
        seed: study.seed,
        inputs: [...files, { role: "lock", name: "deno.lock", sha256: lockSha256 }],
        versions,
        /** What was let through although it looks like identifiers, as the study file says. */
        notIdentifying: waivers(study),
        notebooks: runs.map(({ notebook, failure, seconds }) => ({
          name: notebook.id,
          complete: failure === undefined,
          ...(failure && { failure }),
          secondsToFirstCell: milliseconds(seconds.start),
          seconds: milliseconds(seconds.total),
        })),
        failures,
        warnings: items.warnings,
        /** SHA-256 of every file written, by path. */
        outputs: options.outputs,
        startedAt: options.startedAt,
        seconds: milliseconds(options.seconds),
      },
      null,
      2,
    )
  }\n`;
}

/** SHA-256 of bytes or text, in hexadecimal. */
export async function sha256(content: Uint8Array<ArrayBuffer> | string): Promise<string> {
  const bytes = typeof content === "string" ? new TextEncoder().encode(content) : content;
  return new Uint8Array(await crypto.subtle.digest("SHA-256", bytes)).toHex();
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
    typescript: Deno.version.typescript,
    ...Object.fromEntries(packages),
  };
}

function milliseconds(seconds: number): number {
  return Math.round(seconds * 1000) / 1000;
}
