// Changes one small thing at a time in the library and asks whether a test notices: `deno task
// mutants [--count N] [--seed N] [--in TEXT] [--tests N] [--after LOG] [--again LOG]`. --tests asks
// so many test files, the nearest to the change; --after goes on where the run of a log stopped;
// --again tries what survived once more. survivors.md lists what no test noticed, and somebody must
// read it: each is a missing test, or a change that makes no difference.
import { join, relative } from "node:path";
import { parseArgs } from "node:util";
import { SeededRandom } from "mitral";
import { timeLeftText } from "../../lib/words/mod.ts";
import { type Mutant, mutantsOf, mutated, switched } from "./mutants.ts";
import { likeness, testsOf } from "./tests-of.ts";
import { attempt, lookAt, type Looked } from "./ask-tests.ts";
import { typescriptFiles } from "../source-files.ts";

const { values } = parseArgs({
  options: {
    count: { type: "string", default: "200" },
    seed: { type: "string", default: "1" },
    in: { type: "string", default: "" },
    again: { type: "string" },
    after: { type: "string" },
    tests: { type: "string", default: "6" },
  },
});
const root = join(import.meta.dirname!, "../..");
// what answers come from, the rules of words and warnings, and the rules of what may be published
const watched =
  /^lib\/(numerics|regression|balance|survival|competing|comparisons|sensitivity|missing|programme|disclosure|words|report\/(show|sentences|model|ledger)|cohort\/follow-up)\//;

// of the processor, for one test, and for all tests of one mutant
const mostSeconds = 4;
const mostSecondsInAll = 20;

const copy = await copyOfProject();
try {
  const done = values.after ? triedIn(values.after) : new Set<string>();
  const chosen = values.again
    ? survivorsIn(values.again)
    : chosenAtRandom(Number(values.count)).filter((mutant) => !done.has(place(inWords(mutant))));
  const words = chosen.map(inWords);
  let said = 0;
  const began = performance.now();
  const say = (number: number, by: string | undefined) => {
    const left = timeLeftText(++said, chosen.length, (performance.now() - began) / 1000);
    console.log(
      `${said}/${chosen.length} ${left && `(${left}) `}${by ? "caught  " : "SURVIVED"} ${
        words[number - 1]
      }${by ? ` | by ${by}` : ""}`,
    );
  };
  const noticed = await tried(chosen, say);
  const survivors = words.filter((_, place) => !noticed.has(place + 1)).sort();
  const share = (100 * noticed.size / chosen.length).toFixed(1);
  console.log(
    `${noticed.size} of ${chosen.length} mutants caught (${share}%), seed ${values.seed}`,
  );
  for (const one of survivors) console.log(`survived: ${one}`);
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

/** The places that an earlier run's log has tried. */
function triedIn(log: string): Set<string> {
  const lines = Deno.readTextFileSync(log).split("\n");
  return new Set(
    lines.flatMap((line) =>
      /^\d+\/\d+ (?:\(.*?\) )?(?:caught +|SURVIVED) (.*?)(?: \| by .*)?$/.exec(line)?.[1] ?? []
    ).map(place),
  );
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

/** Numbers, from 1, of the mutants that a test noticed. */
async function tried(
  chosen: readonly Mutant[],
  say: (number: number, by: string | undefined) => void,
): Promise<Set<number>> {
  const noticed = new Set<number>();
  const heard = (number: number, by: string | undefined) => {
    if (by !== undefined) noticed.add(number);
    say(number, by?.replace(copy + "/", ""));
  };
  // a stage at a time, whose changes are asked of much the same tests
  const stageOf = ({ file }: Mutant) => file.split("/")[1]!;
  const stages = Map.groupBy(
    chosen.map((mutant, k) => [k + 1, mutant] as const),
    ([, mutant]) => stageOf(mutant),
  );
  for (const numbered of stages.values()) await inStage(numbered, heard);
  return noticed;
}

async function inStage(
  numbered: readonly (readonly [number, Mutant])[],
  heard: (number: number, by: string | undefined) => void,
): Promise<void> {
  const switchable: [number, Mutant][] = [];
  const alone: [number, Mutant][] = [];
  for (const [number, mutant] of numbered) {
    const [from, past] = mutant.whole;
    const overlaps = switchable.some(([, { file, whole }]) =>
      file === mutant.file && whole[0] < past && from < whole[1]
    );
    (mutant.atEveryCall && !overlaps ? switchable : alone).push([number, mutant]);
  }
  const files = new Set(numbered.map(([, { file }]) => file));
  const nearest = new Map(
    [...files].map((file) => [file, testsOf(copy, file, Number(values.tests))]),
  );
  const restore = write(switchable, switched);
  const looked = await lookAt(copy, [...new Set([...nearest.values()].flat())].sort());
  const asked = looked.filter(({ passed, seconds }) => passed && seconds < mostSeconds);
  for (const { path, place, passed, seconds } of looked) {
    if (passed && seconds < mostSeconds) continue;
    const why = passed ? `takes ${seconds.toFixed(1)} s` : "fails without a change";
    console.log(`not asked: ${path.replace(copy + "/", "")}, test ${place + 1}, ${why}`);
  }
  const all = looked.reduce((sum, { seconds }) => sum + seconds, 0);
  console.log(`${numbered.length} changes, ${asked.length} tests, ${all.toFixed(0)} s`);
  await attempt(
    copy,
    switchable.map(([number, { file }]) => ({
      number,
      tests: inOrder(asked.filter(({ reached }) => reached.includes(number)), file),
    })),
    heard,
  );
  restore();
  for (const [number, mutant] of alone) {
    const back = write([[number, mutant]], (source) => mutated(source, mutant));
    const near = nearest.get(mutant.file)!;
    const tests = inOrder(asked.filter(({ path }) => near.includes(path)), mutant.file);
    await attempt(copy, [{ number, tests }], heard);
    back();
  }
}

/** The cheapest first, those that sound like the file before others, as far as there is time. */
function inOrder(tests: readonly Looked[], file: string): Looked[] {
  const cost = ({ path, seconds }: Looked) => (seconds + 0.01) / (1 + likeness(path, file));
  const sorted = tests.toSorted((a, b) => cost(a) - cost(b));
  let spent = 0;
  return sorted.filter(({ seconds }) => (spent += seconds) < mostSecondsInAll)
    .map((test) => ({ ...test, reached: [] }));
}

/** Writes mutants into the copy; what is given back takes them out again. */
function write(
  numbered: readonly [number, Mutant][],
  change: (source: string, own: [number, Mutant][]) => string,
): () => void {
  const files = [...new Set(numbered.map(([, { file }]) => join(copy, file)))];
  const sources = files.map((path) => Deno.readTextFileSync(path));
  files.forEach((path, k) => {
    const own = numbered.filter(([, { file }]) => join(copy, file) === path);
    Deno.writeTextFileSync(path, change(sources[k]!, own));
  });
  return () => files.forEach((path, k) => Deno.writeTextFileSync(path, sources[k]!));
}
