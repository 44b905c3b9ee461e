// Run by run.ts in a copy of the project whose source has the mutants switched in: asks the tests
// of each mutant, in one process, and says a line about each.
//   deno run ask.ts JOBS FROM [written]
// JOBS is a file of { number, tests }, of which those from FROM on are done; "written": the source
// has the mutant itself, and the tests are those that pass without it.
import process from "node:process";

interface Job {
  number: number;
  tests: string[];
}
type Body = (context: unknown) => unknown;
interface Defined {
  fn?: Body;
  ignore?: boolean;
}

const say = (line: string) => Deno.stdout.writeSync(new TextEncoder().encode(line + "\n"));
for (const name of ["log", "error", "warn", "info"] as const) console[name] = () => {};
const state = globalThis as unknown as { mutant: number };
state.mutant = 0;

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

/** Whether the tests of a file pass, as they should. */
async function passes(path: string): Promise<boolean> {
  try {
    for (const body of bodies.get(path)!) await body(context);
    return true;
  } catch {
    return false;
  }
}

const [jobsFile, from, written] = Deno.args;
const jobs: Job[] = JSON.parse(Deno.readTextFileSync(jobsFile!)).slice(Number(from));
/** Whether a file passes without a mutant, in time. */
const usual = new Map<string, boolean>();
const mostSeconds = 8;

async function isAsked(path: string): Promise<boolean> {
  const known = usual.get(path);
  if (known !== undefined) return known;
  state.mutant = 0;
  loading = path;
  bodies.set(path, []);
  const began = process.cpuUsage();
  let passed = false;
  try {
    await import(path);
    passed = await passes(path);
  } catch { /* it does not load: not asked */ }
  const { user, system } = process.cpuUsage(began);
  const seconds = (user + system) / 1e6;
  const asked = passed && seconds < mostSeconds;
  say(`${asked ? "asked" : "not"} ${path} ${passed ? `${seconds.toFixed(1)} s` : "fails"}`);
  usual.set(path, asked);
  return asked;
}

for (const { number, tests } of jobs) {
  say(`begin ${number}`);
  let noticed: string | undefined;
  for (const path of tests) {
    if (!await isAsked(path)) {
      if (!written) continue;
      noticed = path;
      break;
    }
    state.mutant = number;
    const passed = await passes(path);
    state.mutant = 0;
    if (passed) continue;
    noticed = path;
    break;
  }
  // what the change left behind, in a cache, must not be seen as the next one's doing
  const clean = noticed === undefined || written !== undefined || await passes(noticed);
  say(
    `end ${number} ${noticed === undefined ? "survived" : "caught"} ${clean ? "clean" : "stained"}`,
  );
  if (!clean) break;
}
Deno.exit(0);
