import {
  type Guard,
  sandboxCommand,
  type SandboxOptions,
  startGuard,
  throwawayCache,
} from "../guest/mod.ts";
import { join } from "./paths.ts";

/** A notebook's process, which loads the library until it is told its task. */
export interface WaitingProcess {
  child: Deno.ChildProcess;
  /** Ends it, unless it has ended. */
  kill(): void;
  /** It has ended: nothing need end it with this process. */
  forget(): void;
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
  readonly #places: ProcessPlaces;
  readonly #early = new Map<string, WaitingProcess>();
  #guard: Guard | undefined;
  #started = 0;

  constructor(places: ProcessPlaces) {
    this.#places = places;
  }

  /** Starts one before its task is known. */
  async startEarly(id: string, modules: readonly string[]): Promise<void> {
    this.#early.set(id, await this.#start(modules));
  }

  /** The one that was started for a notebook, or a new one: each has one task. */
  async take(id: string, modules: readonly string[]): Promise<WaitingProcess> {
    const process = this.#early.get(id) ?? await this.#start(modules);
    this.#early.delete(id);
    return process;
  }

  /** Ends those that got no task. */
  async close(): Promise<void> {
    for (const process of this.#early.values()) await dismiss(process);
    await this.#guard?.close();
  }

  async #start(modules: readonly string[]): Promise<WaitingProcess> {
    const { read, nowhere, caches } = this.#places;
    const child = sandboxCommand(runtime, [], {
      read: [...read, ...modules, nowhere],
      folder: nowhere,
      cache: await throwawayCache(join(caches, `${++this.#started}`)),
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
