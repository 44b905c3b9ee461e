import { createHash } from "node:crypto";
import type { FileRecord } from "../../study/file/mod.ts";
import { ProblemsError } from "../../study/problems/mod.ts";
import { basename, join } from "../notebooks/mod.ts";

/** A copy of an input, and what it was when it was made. */
export interface CopiedInput {
  path: string;
  record: FileRecord;
}

/**
 * Copies an input under its own name, read once from beginning to end, so that a pipe serves as
 * well as a file. Nobody but its owner may read the copy, and nobody write to it.
 *
 * @throws {ProblemsError} Naming the file, where it cannot be read.
 */
export async function copyInput(
  role: FileRecord["role"],
  from: string,
  folder: string,
): Promise<CopiedInput> {
  const name = basename(from);
  const own = join(folder, role.replace(" ", "-"));
  const path = join(own, name);
  await Deno.mkdir(own, { recursive: true, mode: 0o700 });
  const source = await opened(from, name);
  const hash = createHash("sha256");
  let bytes = 0;
  const target = await Deno.open(path, { write: true, createNew: true, mode: 0o400 });
  const writer = target.writable.getWriter();
  for await (const chunk of source.readable) {
    hash.update(chunk);
    bytes += chunk.length;
    await writer.write(chunk);
  }
  await writer.close();
  return { path, record: { role, name, bytes, sha256: hash.digest("hex") } };
}

async function opened(path: string, name: string): Promise<Deno.FsFile> {
  const problem = (what: string) =>
    new ProblemsError(`open ${name}`, [{ where: "(whole file)", what }]);
  let file: Deno.FsFile;
  try {
    file = await Deno.open(path);
  } catch (error) {
    throw problem(
      error instanceof Deno.errors.NotFound ? "no such file" : "it could not be opened",
    );
  }
  const { isDirectory, isCharDevice } = await file.stat();
  if (!isDirectory && !isCharDevice) return file;
  file.close();
  throw problem(isDirectory ? "it is a folder" : "it is no file");
}
