import { join } from "node:path";
import { type Guard, startGuard } from "./guard.ts";
import { sandboxCommand, type SandboxOptions } from "./sandbox.ts";
import { throwawayCache } from "./throwaway-cache.ts";

/** A notebook's process, which loads the library until it is told its task. */
export interface WaitingProcess {
  child: Deno.ChildProcess;
  /** Ends it, unless it has ended. */
  kill(): void;
  /** It has ended: nothing need end it with this process. */
  forget(): void;
}

/** What a notebook's process alone may read. */
export interface OwnFiles {
  /** The module of all its cells. */
  whole: string;
  /** The module of what runs where an edit does not reach them all. */
  part: string;
  /** What was worked out in an earlier run. */
  answers: string;
}

/** These, in files whose names begin with a path. */
export function ownFiles(path: string): OwnFiles {
  return { whole: `${path}.ts`, part: `${path}-part.ts`, answers: `${path}.answers` };
}

/** Where processes stand, and what each may read beside its own modules. */
export interface ProcessPlaces {
  read: SandboxOptions["read"];
  /** An empty folder. */
  nowhere: string;
  /** Where each gets stores of its own. */
  caches: string;
}

/** Starts the notebooks' processes, and sees to it that none is left. */
export class Processes {
  readonly places: ProcessPlaces;
  readonly #early = new Map<string, WaitingProcess>();
  #guard: Guard | undefined;
  #spare: { process: WaitingProcess; modules: OwnFiles } | undefined;

  constructor(places: ProcessPlaces) {
    this.places = places;
  }

  /** These, where they may read the same and stand in the same place. */
  suit(places: ProcessPlaces): Processes | undefined {
    return JSON.stringify(places) === JSON.stringify(this.places) ? this : undefined;
  }

  /**
   * Starts one before it is known whose it will be.
   *
   * @param modules Where that notebook's modules will lie.
   */
  async startSpare(modules: OwnFiles): Promise<void> {
    this.#spare = { process: await this.#start(modules), modules };
  }

  /** Gives the spare one to a notebook: where its modules are to lie; nothing where none is. */
  giveSpare(id: string): OwnFiles | undefined {
    if (!this.#spare) return undefined;
    const { process, modules } = this.#spare;
    this.#spare = undefined;
    this.#early.set(id, process);
    return modules;
  }

  /** Ends the spare one, where nobody is to have it. */
  async dropSpare(): Promise<void> {
    const spare = this.#spare;
    this.#spare = undefined;
    if (spare) await dismiss(spare.process);
  }

  /** Starts one before its task is known. */
  async startEarly(id: string, modules: OwnFiles): Promise<void> {
    this.#early.set(id, await this.#start(modules));
  }

  /** The one that was started for a notebook, or a new one: each has one task. */
  async take(id: string, modules: OwnFiles): Promise<WaitingProcess> {
    const process = this.#early.get(id) ?? await this.#start(modules);
    this.#early.delete(id);
    return process;
  }

  /** Ends those that got no task. */
  async close(): Promise<void> {
    await this.dropSpare();
    const left = [...this.#early.values()];
    this.#early.clear();
    for (const process of left) await dismiss(process);
    await this.#guard?.close();
    this.#guard = undefined;
  }

  async #start(modules: OwnFiles): Promise<WaitingProcess> {
    const { read, nowhere, caches } = this.places;
    const child = sandboxCommand(runtime, [], {
      read: [...read, ...Object.values(modules), nowhere],
      folder: nowhere,
      cache: await throwawayCache(join(caches, crypto.randomUUID())),
      listens: true,
    }).spawn();
    const guard = this.#guard ??= startGuard();
    guard.watch(child.pid);
    return {
      child,
      kill() {
        try {
          child.kill("SIGKILL");
        } catch {
          // it has ended
        }
      },
      forget: () => guard.forget(child.pid),
    };
  }
}

/** Ends one that gets no task. */
export async function dismiss({ child, kill, forget }: WaitingProcess): Promise<void> {
  kill();
  // they may have ended with it
  await Promise.allSettled([child.stdin.close(), child.stdout.cancel(), child.stderr.cancel()]);
  await child.status;
  forget();
}

const runtime = new URL("../guest/runtime.ts", import.meta.url);
