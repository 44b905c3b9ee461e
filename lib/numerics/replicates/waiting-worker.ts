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
  readonly #begun = Promise.withResolvers<void>();
  /** What was asked and is not answered yet, in order. */
  readonly #asked: PromiseWithResolvers<Result>[] = [];
  #problem: Error | undefined;

  constructor({ worker, what, setup }: WorkerSetup<Setup>) {
    this.#worker = new Worker(worker, { type: "module" });
    const fail = (why: string) => {
      const problem = this.#problem ??= new Error(`Cannot ${what}: ${why}`);
      for (const { reject } of [this.#begun, ...this.#asked]) reject(problem);
    };
    this.#worker.onerror = (event) => {
      event.preventDefault();
      fail(event.message);
    };
    this.#worker.onmessage = ({ data }: MessageEvent<Answer<Result>>) => {
      if ("problem" in data) fail(data.problem);
      else if ("ready" in data) this.#begun.resolve();
      else this.#asked.shift()?.resolve(data.result);
    };
    this.#begun.promise.catch(() => {}); // whoever asks hears of it
    this.#worker.postMessage({ setup } satisfies Told<Setup, Task>);
  }

  /** Once it can take a task. @throws {Error} With what keeps it from it. */
  get ready(): Promise<void> {
    return this.#begun.promise;
  }

  /**
   * The result of a task, once those that were asked for before are done.
   *
   * @throws {Error} With the first problem that it had; it does nothing after that.
   */
  ask(task: Task): Promise<Result> {
    if (this.#problem) return Promise.reject(this.#problem);
    const answer = Promise.withResolvers<Result>();
    this.#asked.push(answer);
    this.#worker.postMessage({ task } satisfies Told<Setup, Task>);
    return answer.promise;
  }

  /** Ends it, whatever it is doing. */
  end(): void {
    this.#worker.terminate();
  }
}
