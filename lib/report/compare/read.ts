import { readFileText } from "../../study/file/mod.ts";
import { z } from "zod";
import { type FindingsFile, findingsSchema } from "../files/mod.ts";
import { basename, join, resolve } from "../notebooks/mod.ts";
import { messageOf } from "../../study/command-line/mod.ts";

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
  const manifest = await readPart(folder, "manifest.json", manifestSchema);
  const { plan, findings, tables } = await readPart(folder, "findings.json", findingsSchema);
  return { name: basename(resolve(folder)), manifest, plan, findings, tables };
}

async function readPart<T>(folder: string, name: string, schema: z.ZodType<T>): Promise<T> {
  const { success, data, error } = schema.safeParse(await readJson(folder, name));
  if (success) return data;
  const [first] = error.issues;
  const where = first && first.path.length > 0 ? `, first at ${first.path.join(".")}` : "";
  throw new Error(
    `Cannot read the run in ${folder}: ${name} is not as a report writes it${where}; make the ` +
      "report again",
  );
}

async function readJson(folder: string, name: string): Promise<unknown> {
  try {
    return JSON.parse(await readFileText(join(folder, name)));
  } catch (error) {
    const what = error instanceof Deno.errors.NotFound
      ? `it holds no ${name}; make the report again`
      : messageOf(error);
    throw new Error(`Cannot read the run in ${folder}: ${what}`);
  }
}
