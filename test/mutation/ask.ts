// Run by ask-tests.ts in a copy of the project whose source has the mutants switched in.
//   deno run ask.ts look FILES     how long every test takes, and which mutants it reaches
//   deno run ask.ts try JOBS FROM  tries the mutants from FROM on, each on its tests
// FILES is a file of paths of tests; JOBS one of `Job`.
import process from "node:process";
import type { Job, Looked } from "./ask-tests.ts";
import type { MutatedWork } from "./mutated-worker.ts";

type Body = (context: unknown) => unknown;
interface Defined {
  fn?: Body;
  ignore?: boolean;
}

const say = (line: string) => Deno.stdout.writeSync(new TextEncoder().encode(line + "\n"));
for (const name of ["log", "error", "warn", "info"] as const) console[name] = () => {};
const state = globalThis as unknown as { mutant: number; reached: Uint8Array };
// workers of the library look into the same memory: they are mutated too, and mark what they reach
const shared = new Int32Array(new SharedArrayBuffer(4));
state.reached = new Uint8Array(new SharedArrayBuffer(1e6));
const switchTo = (mutant: number) => {
  state.mutant = mutant; // read over and over: a plain field is read fastest
  Atomics.store(shared, 0, mutant);
};
switchTo(0);
// a test that never ends is stopped by its processor time: the clock runs on while others work
const begun = new Int32Array(new SharedArrayBuffer(4));
new Worker(new URL("./stop-endless.ts", import.meta.url), { type: "module" }).postMessage(begun);

globalThis.Worker = class extends Worker {
  constructor(address: string | URL, options?: WorkerOptions) {
    super(new URL("./mutated-worker.ts", import.meta.url), options);
    const work: MutatedWork = { address: `${address}`, mutant: shared, reached: state.reached };
    super.postMessage(work);
  }
};

const bodies = new Map<string, Body[]>();
let loading = "";
const define = (...given: unknown[]) => {
  const fn = given.find((one): one is Body => typeof one === "function");
  const options = given.find((one): one is Defined => typeof one === "object" && one !== null);
  const body = fn ?? options?.fn;
  if (body && !options?.ignore) bodies.get(loading)!.push(body);
};
Object.defineProperty(Deno, "test", {
  value: Object.assign(define, { ignore: () => {}, only: define }),
});

const context = {
  name: "",
  step: async (...given: unknown[]) => {
    const body = given.find((one): one is Body => typeof one === "function") ??
      (given[0] as Defined).fn;
    await body?.(context);
    return true;
  },
};

/** The tests of a file; none where it does not load. */
async function load(path: string): Promise<Body[]> {
  if (!bodies.has(path)) {
    Atomics.add(begun, 0, 1);
    loading = path;
    bodies.set(path, []);
    try {
      await import(path);
    } catch {
      bodies.set(path, []);
    }
  }
  return bodies.get(path)!;
}

async function passes(body: Body | undefined): Promise<boolean> {
  Atomics.add(begun, 0, 1);
  try {
    await body?.(context);
    return body !== undefined;
  } catch {
    return false;
  }
}

async function look(paths: string[]): Promise<void> {
  for (const path of paths) {
    say(`look ${path}`);
    for (const [place, body] of (await load(path)).entries()) {
      state.reached.fill(0);
      const began = process.cpuUsage();
      const passed = await passes(body);
      const { user, system } = process.cpuUsage(began);
      const reached = [...state.reached.keys()].filter((number) => state.reached[number] === 1);
      const looked: Looked = { path, place, passed, seconds: (user + system) / 1e6, reached };
      say(`looked ${JSON.stringify(looked)}`);
    }
  }
}

async function attempt(jobs: Job[]): Promise<void> {
  for (const { number, tests } of jobs) {
    say(`begin ${number}`);
    let noticing: Body | undefined;
    for (const { path, place } of tests) {
      switchTo(0); // what is worked out on loading is worked out as it is
      const body = (await load(path))[place];
      switchTo(number);
      const passed = await passes(body);
      switchTo(0);
      if (passed) continue;
      say(`noticed ${number} ${path}`);
      noticing = body ?? (() => {});
      break;
    }
    // what the change left behind, in a cache, must not be seen as the next one's doing
    const clean = noticing === undefined || await passes(noticing);
    say(`end ${number} ${noticing ? "caught" : "survived"} ${clean ? "clean" : "stained"}`);
    if (!clean) break;
  }
}

const [task, file, from] = Deno.args;
const given = JSON.parse(Deno.readTextFileSync(file!));
if (task === "look") await look(given);
else await attempt(given.slice(Number(from)));
Deno.exit(0);
