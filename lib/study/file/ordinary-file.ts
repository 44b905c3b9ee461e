import { basename } from "node:path";
import { ProblemsError } from "../problems/mod.ts";

/**
 * Why a path is no file that can be read from its beginning to its end; undefined where it is one,
 * or where nothing is there. Asked before anything is opened: a pipe to which nobody writes would
 * keep a program waiting for ever, and a device may never end.
 */
export async function whyNoFile(path: string): Promise<string | undefined> {
  let info: Deno.FileInfo;
  try {
    info = await Deno.stat(path);
  } catch {
    return undefined; // opening it says better what is wrong
  }
  if (info.isFile) return undefined;
  return info.isDirectory
    ? "it is a folder"
    : "it is a pipe or a device, not a file; save it first";
}

/**
 * The text of a file.
 *
 * @throws {ProblemsError} On what is no file, naming it; else as `Deno.readTextFile`.
 */
export async function readFileText(path: string): Promise<string> {
  await refuseOther(path);
  return await Deno.readTextFile(path);
}

/**
 * The bytes of a file.
 *
 * @throws {ProblemsError} On what is no file, naming it; else as `Deno.readFile`.
 */
export async function readFileBytes(path: string): Promise<Uint8Array<ArrayBuffer>> {
  await refuseOther(path);
  return await Deno.readFile(path);
}

/**
 * Writes a file that its owner alone may read, either as a whole or not at all: a run that is ended
 * meanwhile leaves what was there.
 */
export async function writeOwnFile(path: string, content: string | Uint8Array): Promise<void> {
  const bytes = typeof content === "string" ? new TextEncoder().encode(content) : content;
  await Deno.writeFile(`${path}.new`, bytes, { mode: 0o600 });
  await Deno.rename(`${path}.new`, path);
}

async function refuseOther(path: string): Promise<void> {
  const why = await whyNoFile(path);
  const name = basename(path);
  if (why !== undefined) throw new ProblemsError(`read ${name}`, [{ where: name, what: why }]);
}
