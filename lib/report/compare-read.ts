import { z } from "zod";
import { type FindingsFile, findingsSchema } from "./findings-file.ts";
import { messageOf } from "./notebook.ts";
import { basename, join, resolve } from "./paths.ts";

const manifestSchema = z.object({
  study: z.string(),
  complete: z.boolean(),
  seed: z.number(),
  inputs: z.array(z.object({
    role: z.string(),
    name: z.string(),
    bytes: z.number().optional(),
    sha256: z.string(),
  })),
  versions: z.record(z.string(), z.string()),
  outputs: z.record(z.string(), z.string()),
  startedAt: z.string(),
});

/** One finished run, read back from its folder. */
export interface FinishedRun extends FindingsFile {
  /** The folder's own name. */
  name: string;
  manifest: z.infer<typeof manifestSchema>;
}

/**
 * Reads a report's folder.
 *
 * @throws {Error} Where it holds no finished report, or one from before `findings.json` was kept.
 */
export async function readRun(folder: string): Promise<FinishedRun> {
  const manifest = manifestSchema.parse(await readJson(folder, "manifest.json"));
  const { plan, findings, tables } = findingsSchema.parse(await readJson(folder, "findings.json"));
  return { name: basename(resolve(folder)), manifest, plan, findings, tables };
}

async function readJson(folder: string, name: string): Promise<unknown> {
  try {
    return JSON.parse(await Deno.readTextFile(join(folder, name)));
  } catch (error) {
    const what = error instanceof Deno.errors.NotFound
      ? `it holds no ${name}; make the report again`
      : messageOf(error);
    throw new Error(`Cannot read the run in ${folder}: ${what}`);
  }
}
