import { readFileBytes, readFileText } from "../../study/file/mod.ts";
import { z } from "zod";
import { join } from "../notebooks/mod.ts";
import { messageOf } from "../../study/command-line/mod.ts";
import { filesWithin } from "../snapshot/mod.ts";
import { sha256 } from "../../numerics/memory/mod.ts";

const record = z.object({ role: z.string(), name: z.string(), sha256: z.string() });

const manifestSchema = z.object({
  study: z.string(),
  complete: z.boolean(),
  inputs: z.array(record),
  notebooks: z.array(z.object({ name: z.string(), sha256: z.string().optional() })),
  besideNotebooks: z.array(z.object({ name: z.string(), sha256: z.string() })),
  outputs: z.record(z.string(), z.string()),
  startedAt: z.string(),
});

/** What a report's own manifest says it was made of and made. */
export type Manifest = z.infer<typeof manifestSchema>;

/** What a report's folder is held against. */
export interface Verified {
  manifest: Manifest;
  /** Files written by the run that are as it left them. */
  unchanged: string[];
  /** One sentence for each file that is not. */
  problems: string[];
  /** Files in the folder that no run left there. */
  others: string[];
}

/**
 * Holds every file of a report against its manifest: none changed, missing or put among them.
 *
 * @throws {Error} Where the folder holds no finished report.
 */
export async function verifyOutput(folder: string): Promise<Verified> {
  const manifest = await readManifest(folder);
  const verified: Verified = { manifest, unchanged: [], problems: [], others: [] };
  for (const [path, hash] of Object.entries(manifest.outputs)) {
    const found = await hashOf(join(folder, path));
    if (found === hash) verified.unchanged.push(path);
    else if (found === undefined) verified.problems.push(`${path} is missing`);
    else verified.problems.push(`${path} was changed after the run`);
  }
  for (const path of filesWithin(folder)) {
    if (path !== "manifest.json" && !(path in manifest.outputs)) verified.others.push(path);
  }
  return verified;
}

/**
 * Whether files are those that a report was made from.
 *
 * @param now Role and present SHA-256, as the manifest names them.
 * @returns One sentence for each that is not.
 */
export function changedInputs(
  { inputs, notebooks, besideNotebooks }: Manifest,
  now: {
    inputs: ReadonlyMap<string, string>;
    notebooks: ReadonlyMap<string, string>;
    beside: ReadonlyMap<string, string>;
  },
): string[] {
  const problems: string[] = [];
  for (const { role, name, sha256 } of inputs) {
    const present = now.inputs.get(role);
    if (present !== undefined && present !== sha256) {
      problems.push(`${role} (${name}) is another than the report was made from`);
    }
  }
  for (const { name, sha256 } of notebooks) {
    const present = now.notebooks.get(name);
    if (sha256 === undefined) continue;
    if (present === undefined) problems.push(`notebook ${name} is not there any more`);
    else if (present !== sha256) problems.push(`notebook ${name} was changed since`);
  }
  for (const { name, sha256 } of besideNotebooks) {
    if (now.beside.get(name) !== sha256) {
      problems.push(`${name}, beside the notebooks, was changed`);
    }
  }
  return problems;
}

async function readManifest(folder: string): Promise<Manifest> {
  try {
    const text = await readFileText(join(folder, "manifest.json"));
    return manifestSchema.parse(JSON.parse(text));
  } catch (error) {
    const what = error instanceof Deno.errors.NotFound
      ? "it holds no manifest.json"
      : error instanceof z.ZodError
      ? "its manifest.json is not as a run writes it"
      : messageOf(error);
    throw new Error(`Cannot verify ${folder}: ${what}`);
  }
}

async function hashOf(path: string): Promise<string | undefined> {
  try {
    return sha256(await readFileBytes(path));
  } catch {
    return undefined;
  }
}
