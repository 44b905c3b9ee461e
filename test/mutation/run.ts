// Changes one small thing at a time in the library and asks whether a test notices: `deno task
// mutants [--count N] [--seed N] [--in TEXT] [--again LOG]`. survivors.md lists what no test noticed,
// and somebody must read it: each is a missing test, or a change that makes no difference.
import { join, relative } from "node:path";
import { parseArgs } from "node:util";
import { SeededRandom } from "mitral";
import { type Mutant, mutantsOf, mutated } from "./mutants.ts";
import { testsOf } from "./tests-of.ts";
import { typescriptFiles } from "../source-files.ts";

const { values } = parseArgs({
  options: {
    count: { type: "string", default: "200" },
    seed: { type: "string", default: "1" },
    in: { type: "string", default: "" },
    again: { type: "string" },
  },
});
const root = join(import.meta.dirname!, "../..");
// what answers come from, the rules of words and warnings, and the rules of what may be published
const watched =
  /^lib\/(numerics|regression|balance|survival|competing|comparisons|sensitivity|missing|programme|disclosure|words|report\/(show|sentences|model|ledger)|cohort\/follow-up)\//;

const copy = await copyOfProject();
try {
  const chosen = values.again ? survivorsIn(values.again) : chosenAtRandom(Number(values.count));
  const usual = new Map<string, number | undefined>();
  const survivors: Mutant[] = [];
  for (const [index, mutant] of chosen.entries()) {
    const noticed = await isNoticed(mutant, usual);
    if (!noticed) survivors.push(mutant);
    const verdict = noticed ? "caught  " : "SURVIVED";
    console.log(`${index + 1}/${chosen.length} ${verdict} ${inWords(mutant)}`);
  }
  const caught = chosen.length - survivors.length;
  const share = (100 * caught / chosen.length).toFixed(1);
  console.log(`${caught} of ${chosen.length} mutants caught (${share}%), seed ${values.seed}`);
  survivors.sort((a, b) => a.file < b.file ? -1 : a.file > b.file ? 1 : a.line - b.line);
  for (const mutant of survivors) console.log(`survived: ${inWords(mutant)}`);
} finally {
  await Deno.remove(copy, { recursive: true });
}

function everyMutant(): Mutant[] {
  return [...typescriptFiles(join(copy, "lib"))].map((path) => relative(copy, path))
    .filter((file) => watched.test(file) && !file.endsWith("mod.ts") && file.includes(values.in))
    .flatMap((file) => mutantsOf(file, Deno.readTextFileSync(join(copy, file))));
}

function chosenAtRandom(count: number): Mutant[] {
  const every = everyMutant();
  const random = new SeededRandom(Number(values.seed));
  const chosen: Mutant[] = [];
  while (chosen.length < count && every.length > 0) {
    chosen.push(every.splice(random.integer(every.length), 1)[0]!);
  }
  return chosen;
}

/** Those that an earlier run's log says survived, as far as their text is still there. */
function survivorsIn(log: string): Mutant[] {
  const lines = Deno.readTextFileSync(log).split("\n");
  const wanted = new Set(
    lines.flatMap((line) => /^(?:survived:|.* SURVIVED) (.*)$/.exec(line)?.[1] ?? []).map(place),
  );
  return everyMutant().filter((mutant) => wanted.has(place(inWords(mutant))));
}

/** A mutant in words but for its line's number, which moves. */
function place(words: string): string {
  return words.replace(/^(\S+?):\d+:/, "$1:");
}

function inWords({ file, line, start, from, to }: Mutant): string {
  const source = Deno.readTextFileSync(join(copy, file));
  const text = source.split("\n")[line - 1]!;
  const column = start - source.lastIndexOf("\n", start - 1);
  const change = `${from} -> ${to}`.replace(/\s+/g, " ");
  return `${file}:${line}: ${change} | ${text.trim()} | ${column}`;
}

/** The project but for what it wrote, so that a mutant is never seen outside. */
async function copyOfProject(): Promise<string> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-mutants-" });
  for (const { name } of Deno.readDirSync(root)) {
    if (name === ".git" || name === "out") continue;
    const { success } = await new Deno.Command("cp", {
      args: ["-r", join(root, name), join(folder, name)],
    }).output();
    if (!success) throw new Error(`${name} could not be copied`);
  }
  return folder;
}

/**
 * Whether a test that passes on the library as it is fails with the mutant in place, or no longer
 * ends. Each test file is run once without a mutant; one that fails or needs more than four minutes then is
 * asked nothing.
 */
async function isNoticed(mutant: Mutant, usual: Map<string, number | undefined>): Promise<boolean> {
  const asked: string[] = [];
  let seconds = 0;
  for (const path of testsOf(copy, mutant.file)) {
    if (!usual.has(path)) {
      const { passed, took } = await run([path], 240);
      usual.set(path, passed ? took : undefined);
      if (!passed) console.log(`not asked: ${relative(copy, path)}, ${took.toFixed(0)} s`);
    }
    const took = usual.get(path);
    if (took === undefined || seconds + took > 300) continue;
    asked.push(path);
    seconds += took;
  }
  if (asked.length === 0) return false;
  const path = join(copy, mutant.file);
  const source = await Deno.readTextFile(path);
  await Deno.writeTextFile(path, mutated(source, mutant));
  try {
    // a mutant that does not end was noticed
    return !(await run(asked, 120 + 10 * seconds)).passed;
  } finally {
    await Deno.writeTextFile(path, source);
  }
}

/** Runs test files as one, so that the library is loaded once for all of them. */
async function run(tests: string[], most: number): Promise<{ passed: boolean; took: number }> {
  const all = join(copy, "asked.test.ts");
  await Deno.writeTextFile(all, tests.map((path) => `import ${JSON.stringify(path)};\n`).join(""));
  const began = performance.now();
  const child = new Deno.Command(Deno.execPath(), {
    args: ["test", "--quiet", "--no-check", "--allow-all", "--fail-fast", all],
    cwd: copy,
    stdout: "null",
    stderr: "null",
  }).spawn();
  const timer = setTimeout(() => child.kill("SIGKILL"), most * 1000);
  const { success } = await child.status;
  clearTimeout(timer);
  return { passed: success, took: (performance.now() - began) / 1000 };
}
