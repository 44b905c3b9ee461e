/** What a worker is told. */
export type Told<Setup, Task> = { setup: Setup } | { task: Task };
/** What it answers to either. */
export type Answer<Result> = { ready: true } | { result: Result } | { problem: string };

/** A worker to be started; its setup and tasks are plain data: no functions. */
export interface WorkerSetup<Setup> {
  /** Address of the worker's module, which calls {@link answerTasks}. */
  worker: URL;
  /** What is done, to be read after "Cannot". */
  what: string;
  setup: Setup;
}

/**
 * A worker that makes itself ready from its setup, then does one task after the other.
 *
 * It has the permissions of the program that starts it, and no more.
 */
export class WaitingWorker<Setup, Task, Result> {
  readonly #worker: Worker;
  #pending = Promise.withResolvers<Answer<Result>>();
  #last: Promise<unknown>;

  constructor({ worker, what, setup }: WorkerSetup<Setup>) {
    this.#worker = new Worker(worker, { type: "module" });
    this.#worker.onerror = (event) => {
      event.preventDefault();
      this.#pending.reject(new Error(`Cannot ${what}: ${event.message}`));
    };
    this.#worker.onmessage = ({ data }: MessageEvent<Answer<Result>>) => {
      if ("problem" in data) this.#pending.reject(new Error(`Cannot ${what}: ${data.problem}`));
      else this.#pending.resolve(data);
    };
    this.#last = this.#answerTo({ setup });
    this.#last.catch(() => {}); // whoever asks hears of it
  }

  /** Once it can take a task. @throws {Error} with what kept it from it. */
  get ready(): Promise<unknown> {
    return this.#last;
  }

  /** The result of a task, once those that were asked before are done. @throws {Error} */
  async ask(task: Task): Promise<Result> {
    const answered = this.#last.then(() => this.#answerTo({ task }));
    this.#last = answered;
    const answer = await answered;
    if (!("result" in answer)) throw new Error("A worker answered what it was not asked");
    return answer.result;
  }

  /** Ends it, whatever it is doing. */
  end(): void {
    this.#worker.terminate();
  }

  #answerTo(told: Told<Setup, Task>): Promise<Answer<Result>> {
    this.#pending = Promise.withResolvers();
    this.#worker.postMessage(told);
    return this.#pending.promise;
  }
}
