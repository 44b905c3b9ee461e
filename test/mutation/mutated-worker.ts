// Begins a worker of the library in a process of ask.ts: gives it what the mutants ask for, then
// loads its module. Messages that come before it is loaded are kept for it.

/** What ask.ts tells a worker first: its module, and the memory that both look into. */
export interface MutatedWork {
  address: string;
  mutant: Int32Array;
  reached: Uint8Array;
}

const scope = self as unknown as EventTarget & {
  onmessage: ((event: MessageEvent) => unknown) | null;
};

scope.onmessage = async ({ data }: MessageEvent<MutatedWork>) => {
  const { address, mutant, reached } = data;
  let loaded = false;
  // what is worked out on loading is worked out as it is
  Object.defineProperty(globalThis, "mutant", { get: () => loaded ? Atomics.load(mutant, 0) : 0 });
  Object.assign(globalThis, { reached });
  const early: unknown[] = [];
  const keep = (event: MessageEvent) => {
    // by nobody else: a module that listens already hears it again
    event.stopImmediatePropagation();
    early.push(event.data);
  };
  scope.onmessage = null;
  scope.addEventListener("message", keep as EventListener);
  await import(address);
  loaded = true;
  scope.removeEventListener("message", keep as EventListener);
  for (const data of early) scope.dispatchEvent(new MessageEvent("message", { data }));
};
