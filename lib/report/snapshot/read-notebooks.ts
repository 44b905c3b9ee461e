import {
  join,
  messageOf,
  type Notebook,
  type NotebookFailure,
  parseNotebook,
  toFileUrl,
} from "../notebooks/mod.ts";
import { sha256 } from "./hash.ts";

/** The notebooks of a folder, as they were when they were read. */
export interface NotebooksRead {
  notebooks: Notebook[];
  /** Those that cannot be read. */
  failures: NotebookFailure[];
  /** SHA-256 of each file, by the notebook's id. */
  hashes: Map<string, string>;
  /** SHA-256 of code and data that lie beside the notebooks, which they may import, by file name. */
  beside: Map<string, string>;
}

/**
 * Reads every notebook of a folder, in the order of their names.
 *
 * @throws {Error} Where the folder holds none.
 */
export async function readNotebooks(folder: string): Promise<NotebooksRead> {
  const names: string[] = [];
  const others: string[] = [];
  try {
    for await (const entry of Deno.readDir(folder)) {
      if (!entry.isFile) continue;
      if (entry.name.endsWith(".ipynb")) names.push(entry.name);
      else if (/\.([cm]?[jt]sx?|json)$/.test(entry.name)) others.push(entry.name);
    }
  } catch (error) {
    throw new Error(`Cannot read the notebooks in ${folder}: ${messageOf(error)}`);
  }
  if (names.length === 0) throw new Error(`Cannot report: there are no notebooks in ${folder}`);
  const notebooks: Notebook[] = [];
  const failures: NotebookFailure[] = [];
  const hashes = new Map<string, string>();
  for (const name of names.sort()) {
    const id = name.slice(0, -".ipynb".length);
    try {
      const bytes = await Deno.readFile(join(folder, name));
      hashes.set(id, sha256(bytes));
      const json = new TextDecoder().decode(bytes);
      notebooks.push(parseNotebook(json, { id, folder: toFileUrl(`${folder}/`).href }));
    } catch (error) {
      failures.push({ notebook: id, stage: "reading", message: messageOf(error) });
    }
  }
  const beside = new Map<string, string>();
  for (const name of others.sort()) {
    beside.set(name, sha256(await Deno.readFile(join(folder, name))));
  }
  return { notebooks, failures, hashes, beside };
}
