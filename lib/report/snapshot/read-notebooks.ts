import { readFileBytes } from "../../study/file/mod.ts";
import {
  basename,
  dirname,
  join,
  type Notebook,
  type NotebookFailure,
  parseNotebook,
  toFileUrl,
} from "../notebooks/mod.ts";
import { messageOf } from "../../study/command-line/mod.ts";
import { filesWithin } from "./files-within.ts";
import { sha256 } from "../../numerics/memory/mod.ts";

/** Notebooks, as they were when they were read. */
export interface NotebooksRead {
  notebooks: Notebook[];
  /** Those that cannot be read. */
  failures: NotebookFailure[];
  /** SHA-256 of each file, by the notebook's id. */
  hashes: Map<string, string>;
  /**
   * SHA-256 of whatever else lies in the notebooks' folders, which they may read, by path within
   * the folder; where notebooks lie in several folders, after the folder's place among them
   * and its name.
   */
  beside: Map<string, string>;
}

/** A notebook's name in a report: its file's without the ending. */
export function notebookId(path: string): string {
  return basename(path).slice(0, -".ipynb".length);
}

/** Reads notebooks, in the order given; one that cannot be read is a failure and stops no other. */
export async function readNotebooks(paths: readonly string[]): Promise<NotebooksRead> {
  const notebooks: Notebook[] = [];
  const failures: NotebookFailure[] = [];
  const hashes = new Map<string, string>();
  for (const path of paths) {
    const id = notebookId(path);
    try {
      const bytes = await readFileBytes(path);
      hashes.set(id, sha256(bytes));
      const json = new TextDecoder().decode(bytes);
      notebooks.push(parseNotebook(json, { id, folder: toFileUrl(`${dirname(path)}/`).href }));
    } catch (error) {
      failures.push({ notebook: id, stage: "reading", message: messageOf(error) });
    }
  }
  return { notebooks, failures, hashes, beside: await hashesBeside(paths.map(dirname)) };
}

async function hashesBeside(all: readonly string[]): Promise<Map<string, string>> {
  const beside = new Map<string, string>();
  const folders = [...new Set(all)];
  for (const [place, folder] of folders.entries()) {
    const before = folders.length === 1 ? "" : `${place + 1} ${basename(folder)}/`;
    const others = filesWithin(folder, ({ name, isFile }) => isFile && !name.endsWith(".ipynb"));
    for (const path of others.sort()) {
      beside.set(`${before}${path}`, sha256(await readFileBytes(join(folder, path))));
    }
  }
  return beside;
}
