import { z } from "zod";
import { provenance, type Study } from "../../study/file/mod.ts";
import { planSha256 } from "../../study/lock/mod.ts";
import { projectFolder } from "../sandbox/mod.ts";
import { join } from "../notebooks/mod.ts";
import { libraryHash, type Snapshot } from "../snapshot/mod.ts";
import { sha256 } from "../../numerics/memory/mod.ts";

/** What can be worked out in parts: completed sets, and limits of the whole procedure repeated. */
export const partKinds = ["sets", "limits"] as const;

/** One of them. */
export type PartKind = (typeof partKinds)[number];

const hash = z.string().regex(/^[0-9a-f]{64}$/);

const originSchema = z.strictObject({
  /** SHA-256 of the plan, as a lock has it. */
  plan: hash,
  /** Of the tables, by what they are. */
  files: z.record(z.string(), hash),
  /** Of the library. */
  library: hash,
  /** Of the file that fixes the packages. */
  packages: hash,
  /** Version of Deno. */
  deno: z.string(),
});

/** All that a part follows from, but for which part it is. */
export type Origin = z.infer<typeof originSchema>;

const headSchema = z.strictObject({
  format: z.literal("part 1"),
  kind: z.enum(partKinds),
  part: z.int().positive(),
  of: z.int().positive(),
  origin: originSchema,
  /** Of the lines after this one. */
  sha256: hash,
});

/** One part: which it is, and its lines. */
export interface Part {
  kind: PartKind;
  part: number;
  of: number;
  origin: Origin;
  lines: string[];
}

/** The name of a part's file. */
export function partName({ kind, part, of }: Pick<Part, "kind" | "part" | "of">): string {
  return `${kind}-${part}-of-${of}.part`;
}

/** A part as a file: what it is in the first line, in the others what it comes to. */
export function partText({ lines, ...head }: Part): string {
  const body = lines.map((line) => `${line}\n`).join("");
  const first: z.infer<typeof headSchema> = { format: "part 1", ...head, sha256: sha256(body) };
  return `${JSON.stringify(first)}\n${body}`;
}

/** What {@link partText} wrote; null where a file is no part, cut short, or changed. */
export function partFrom(text: string): Part | null {
  const end = text.indexOf("\n");
  const body = text.slice(end + 1);
  try {
    const head = headSchema.safeParse(JSON.parse(text.slice(0, end)));
    if (!head.success || head.data.sha256 !== sha256(body)) return null;
    const { format: _, sha256: __, ...said } = head.data;
    return { ...said, lines: body.split("\n").slice(0, -1) };
  } catch {
    return null;
  }
}

/** What a study's parts follow from, now. */
export async function originOf(study: Study): Promise<Origin> {
  const [plan, files, library, lock] = await Promise.all([
    planSha256(study),
    provenance(study),
    libraryHash(),
    Deno.readFile(join(projectFolder, "deno.lock")),
  ]);
  return {
    plan,
    files: tables(files),
    library,
    packages: sha256(lock),
    deno: Deno.version.deno,
  };
}

/** The same of a run, of which the hashes are known. */
export function originOfRun(
  { files, library, lock, plan }: Pick<Snapshot, "files" | "library" | "lock"> & { plan: string },
): Origin {
  return { plan, files: tables(files), library, packages: lock, deno: Deno.version.deno };
}

/** The tables among files, by what they are. */
function tables(files: readonly { role: string; sha256: string }[]): Origin["files"] {
  return Object.fromEntries(
    files.filter(({ role }) => role !== "study").map(({ role, sha256 }) => [role, sha256]),
  );
}

/** Why a part of one origin is of no use for another, in words; null where it is. */
export function whyOther(own: Origin, wanted: Origin): string | null {
  if (own.plan !== wanted.plan) return "of another plan";
  const roles = new Set([...Object.keys(own.files), ...Object.keys(wanted.files)]);
  const other = [...roles].find((role) => own.files[role] !== wanted.files[role]);
  if (other !== undefined) return `of another ${other} file`;
  if (own.library !== wanted.library) return "worked out by another version of the library";
  if (own.packages !== wanted.packages) return "worked out with other packages";
  return own.deno === wanted.deno ? null : `worked out by Deno ${own.deno}`;
}
