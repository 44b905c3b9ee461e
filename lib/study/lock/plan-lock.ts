import { type FileRecord, provenance, readFileText, type Study } from "../file/mod.ts";
import { z } from "zod";
import { planSchema } from "../plan/mod.ts";
import { ProblemsError } from "../problems/mod.ts";

const lockSchema = z.strictObject({
  /** When, in Coordinated Universal Time. */
  lockedAt: z.iso.datetime(),
  /** Of the plan as checked, defaults filled in. */
  planSha256: z.string().regex(/^[0-9a-f]{64}$/),
  /** Where the plan was registered, or what else was said. */
  registered: z.string().min(1).optional(),
  /** When a report with outcomes had been made before, as far as its folder shows. */
  outcomesSeenAt: z.iso.datetime().nullable(),
  /** SHA-256 of the cohort's files at that time, by what they are. */
  files: z.record(z.string(), z.string()),
  /** The plan as it may be published, for what changed since. */
  plan: z.record(z.string(), z.unknown()),
});

/** @internal */
type CheckedPlanLock = z.infer<typeof lockSchema>;
/** What a lock says. */
export type PlanLock = CheckedPlanLock;

/** Where a study's lock is: `study.lock.json` beside `study.json`. */
export function lockPath(study: Pick<Study, "path">): string {
  return study.path.replace(/(\.json)?$/, ".lock.json");
}

/** SHA-256 of a plan: the order of its fields and the layout of the file do not matter. */
export async function planSha256(study: Study): Promise<string> {
  const plan = Object.keys(planSchema.shape).filter((key) => key !== "$schema")
    .map((key) => [key, study[key as keyof Study]]);
  const text = JSON.stringify(ordered(Object.fromEntries(plan)));
  const digest = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text));
  return new Uint8Array(digest).toHex();
}

/** The lock of a plan as it is now. */
export async function lockFor(
  study: Study,
  said: Pick<PlanLock, "lockedAt" | "registered" | "outcomesSeenAt" | "plan">,
): Promise<PlanLock> {
  const files = await provenance(study);
  const data = files.filter(({ role }: FileRecord) => role !== "study");
  return {
    ...said,
    planSha256: await planSha256(study),
    files: Object.fromEntries(data.map(({ role, sha256 }) => [role, sha256])),
  };
}

/** A study's lock; null where there is none. @throws {ProblemsError} if it cannot be read. */
export async function readLock(study: Pick<Study, "path">): Promise<PlanLock | null> {
  const path = lockPath(study);
  let text: string;
  try {
    text = await readFileText(path);
  } catch (error) {
    if (error instanceof Deno.errors.NotFound) return null;
    throw error;
  }
  const what = "no lock that this program wrote: restore it, or delete it and say so in deviations";
  try {
    const result = lockSchema.safeParse(JSON.parse(text));
    if (result.success) return result.data;
  } catch {
    // not JSON: told below
  }
  throw new ProblemsError("open the plan's lock", [{ where: "(whole file)", what }]);
}

/** Writes a lock; never over another. @throws {Deno.errors.AlreadyExists} */
export async function writeLock(study: Pick<Study, "path">, lock: PlanLock): Promise<void> {
  await Deno.writeTextFile(lockPath(study), `${JSON.stringify(lock, null, 2)}\n`, {
    createNew: true,
  });
}

function ordered(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(ordered);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).sort(([a], [b]) => a < b ? -1 : a > b ? 1 : 0)
      .map(([key, one]) => [key, ordered(one)]),
  );
}
