import { keptFiles } from "../kept/mod.ts";
import type { ReportModel } from "../model/mod.ts";
import { type WordFiles, wordFiles, type WordMaker } from "./word-files.ts";

/** Where files are kept from run to run: what `keptFiles` is told. */
export type KeptWhere = Parameters<typeof keptFiles>;

/** What the worker is told. */
export interface WordTask {
  /** Without what cannot be sent, and is worked out from the rest. */
  model: Omit<ReportModel, "methods">;
  kept: KeptWhere;
}

/** What it answers. */
export type WordAnswer = { files: WordFiles } | { problem: string };

/**
 * Makes the manuscript in a worker, which takes as long as all pages together, and the tables here.
 * The worker has loaded its packages by the time there is something to make, has the permissions of
 * the program that starts it, and ends when this is disposed of. One report at a time.
 *
 * @param kept Where files are looked for first.
 */
export function wordFilesBeside(...kept: KeptWhere): WordMaker & Disposable {
  const worker = new Worker(new URL("./word-worker.ts", import.meta.url), { type: "module" });
  // also of what goes wrong before there is anything to make
  const failed = new Promise<never>((_, reject) => {
    worker.onerror = (event) => {
      event.preventDefault();
      reject(new Error(`Cannot make the Word files: ${event.message}`));
    };
  });
  failed.catch(() => {}); // it is raced below, and raised there
  return {
    ...wordFiles(keptFiles(...kept)),
    manuscript: ({ methods: _, ...model }) =>
      Promise.race([failed, answerOf(worker, { model, kept })]),
    [Symbol.dispose]: () => worker.terminate(),
  };
}

function answerOf(worker: Worker, task: WordTask): Promise<WordFiles> {
  return new Promise((resolve, reject) => {
    worker.onmessage = ({ data }: MessageEvent<WordAnswer>) => {
      if ("files" in data) resolve(data.files);
      else reject(new Error(data.problem));
    };
    worker.postMessage(task);
  });
}
