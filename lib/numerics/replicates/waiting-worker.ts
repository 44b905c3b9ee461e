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
  #isReady = false;
  /** What was asked and is not answered yet, in order. */
  readonly #asked: PromiseWithResolvers<Result>[] = [];
  readonly #what: string;
  #lost: Error | undefined;

  constructor({ worker, what, setup }: WorkerSetup<Setup>) {
    this.#what = what;
    this.#worker = new Worker(worker, { type: "module" });
    this.#worker.onerror = (event) => {
      event.preventDefault();
      this.#lose(event.message);
    };
    this.#worker.onmessageerror = () => this.#lose("an answer could not be read");
    this.#worker.onmessage = ({ data }: MessageEvent<Answer<Result>>) => {
      if ("ready" in data) {
        this.#isReady = true;
        this.#begun.resolve();
      } else if ("result" in data) this.#asked.shift()?.resolve(data.result);
      else if (this.#isReady) this.#asked.shift()?.reject(this.#problem(data.problem));
      else this.#lose(data.problem);
    };
    this.#begun.promise.catch(() => {}); // whoever asks hears of it
    try {
      this.#worker.postMessage({ setup } satisfies Told<Setup, Task>);
    } catch (error) {
      this.#worker.terminate();
      throw error;
    }
  }

  /** Once it can take a task. @throws {Error} With what keeps it from it. */
  get ready(): Promise<void> {
    return this.#begun.promise;
  }

  /**
   * The result of a task, once those that were asked for before are done.
   *
   * @throws {Error} With what went wrong with this task, or with the worker.
   */
  async ask(task: Task): Promise<Result> {
    if (this.#lost) throw this.#lost;
    this.#worker.postMessage({ task } satisfies Told<Setup, Task>);
    const answer = Promise.withResolvers<Result>();
    this.#asked.push(answer);
    return await answer.promise;
  }

  /** Ends it, whatever it is doing: what it was asked is not answered. */
  end(): void {
    this.#worker.terminate();
    this.#lose("it was ended before it had answered");
  }

  /** From now on nothing is answered. */
  #lose(why: string): void {
    const lost = this.#lost ??= this.#problem(why);
    for (const { reject } of [this.#begun, ...this.#asked]) reject(lost);
  }

  #problem(why: string): Error {
    return new Error(`Cannot ${this.#what}: ${why}`);
  }
}
