import type { keptFiles } from "../kept/mod.ts";
import type { ReportModel } from "../model/mod.ts";
import { type WordFiles, type WordPart, wordParts } from "./word-files.ts";

/** Where files are kept from run to run: what `keptFiles` is told. */
export type KeptWhere = Parameters<typeof keptFiles>;

/** What a worker is told, once. */
export interface WordTask {
  /** Without what cannot be sent, and is worked out from the rest. */
  model: Omit<ReportModel, "methods">;
  part: WordPart;
  kept: KeptWhere;
}

/** What it answers. */
export type WordAnswer = { files: WordFiles } | { problem: string };

/** Makes files in workers, which end when it is disposed of. */
export interface BesideMaker extends Disposable {
  /**
   * The files of a report, in the order of `wordFiles`. One report at a time.
   *
   * @throws {Error} with the first problem.
   */
  make: (model: ReportModel) => Promise<WordFiles>;
}

/**
 * One worker for each part, which has loaded its packages by the time there is something to make.
 * They have the permissions of the program that starts them.
 *
 * @param kept Where files are looked for first.
 */
export function wordFilesBeside(...kept: KeptWhere): BesideMaker {
  const address = new URL("./word-worker.ts", import.meta.url);
  const workers = wordParts.map((part) => {
    const worker = new Worker(address, { type: "module" });
    // also of what goes wrong before there is anything to make
    const failed = new Promise<never>((_, reject) => {
      worker.onerror = (event) => {
        event.preventDefault();
        reject(new Error(`Cannot make the Word files: ${event.message}`));
      };
    });
    failed.catch(() => {}); // it is raced below, and raised there
    return { part, worker, failed };
  });
  return {
    async make({ methods: _, ...model }) {
      const made = await Promise.all(
        workers.map(({ part, worker, failed }) =>
          Promise.race([failed, answerOf(worker, { model, part, kept })])
        ),
      );
      return new Map(made.flatMap((files) => [...files]));
    },
    [Symbol.dispose]: () => workers.forEach(({ worker }) => worker.terminate()),
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
