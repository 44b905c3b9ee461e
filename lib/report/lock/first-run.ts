import { readFileText } from "../../study/file/mod.ts";
import { z } from "zod";
import { join } from "../notebooks/mod.ts";

const manifestSchema = z.looseObject({
  study: z.string(),
  startedAt: z.iso.datetime(),
  firstRunAt: z.iso.datetime().optional(),
});

/** When a report of the study was first made in a folder; null where its manifest knows of none. */
export async function firstRunOf(folder: string, study: string): Promise<string | null> {
  let text: string;
  try {
    text = await readFileText(join(folder, "manifest.json"));
  } catch (error) {
    if (error instanceof Deno.errors.NotFound) return null;
    throw error;
  }
  try {
    const found = manifestSchema.safeParse(JSON.parse(text));
    if (!found.success || found.data.study !== study) return null;
    return found.data.firstRunAt ?? found.data.startedAt;
  } catch {
    return null;
  }
}
