// Changes one small thing at a time in the library and asks whether a test notices: `deno task
// mutants [--count N] [--seed N] [--in TEXT] [--again LOG]`. survivors.md lists what no test
// noticed, and somebody must read it: each is a missing test, or a change that makes no difference.
import { join, relative } from "node:path";
import { parseArgs } from "node:util";
import { SeededRandom } from "mitral";
import { timeLeftText } from "../../lib/words/mod.ts";
import { type Mutant, mutantsOf, mutated, switched } from "./mutants.ts";
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

// a process that says nothing for so long, in milliseconds, does not end
const patience = 400_000;
// test files that fail without a mutant, or take too long
const unasked = new Set<string>();

const copy = await copyOfProject();
try {
  const chosen = values.again ? survivorsIn(values.again) : chosenAtRandom(Number(values.count));
  const words = chosen.map(inWords);
  let said = 0;
  const began = performance.now();
  const say = (number: number, noticed: boolean) => {
    const left = timeLeftText(++said, chosen.length, (performance.now() - began) / 1000);
    console.log(
      `${said}/${chosen.length} ${left && `(${left}) `}${noticed ? "caught  " : "SURVIVED"} ${
        words[number - 1]
      }`,
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
  say: (number: number, noticed: boolean) => void,
): Promise<Set<number>> {
  const noticed = new Set<number>();
  const switchable: [number, Mutant][] = [];
  const alone: [number, Mutant][] = [];
  for (const [place, mutant] of chosen.entries()) {
    const [from, past] = mutant.whole;
    const overlaps = switchable.some(([, { file, whole }]) =>
      file === mutant.file && whole[0] < past && from < whole[1]
    );
    (mutant.atEveryCall && !overlaps ? switchable : alone).push([place + 1, mutant]);
  }
  const tests = new Map(chosen.map(({ file }) => [file, testsOf(copy, file)]));
  await together(switchable);
  for (const one of alone) {
    // which of its tests pass without it
    await ask(listOf([one]), 0, () => {});
    await together([one], true);
  }
  return noticed;

  function listOf(jobs: [number, Mutant][]): string {
    const list = join(copy, "jobs.json");
    const asked = jobs.map(([number, { file }]) => ({
      number,
      tests: tests.get(file)!.filter((path) => !unasked.has(path)),
    }));
    Deno.writeTextFileSync(list, JSON.stringify(asked));
    return list;
  }

  /**
   * Tries mutants of one copy; where a change stops it or stains it, it begins again after that.
   */
  async function together(jobs: [number, Mutant][], written = false): Promise<void> {
    const files = [...new Set(jobs.map(([, { file }]) => file))];
    const sources = files.map((file) => Deno.readTextFileSync(join(copy, file)));
    files.forEach((file, k) => {
      const own = jobs.filter(([, mutant]) => mutant.file === file);
      const text = written ? mutated(sources[k]!, own[0]![1]) : switched(sources[k]!, own);
      Deno.writeTextFileSync(join(copy, file), text);
    });
    const list = listOf(jobs);
    for (let from = 0; from < jobs.length;) {
      const { ended, stained } = await ask(list, from, (number, seen) => {
        if (seen) noticed.add(number);
        say(number, seen);
      }, written);
      from += ended;
      // the last one left its mark, or did not end: that is to be noticed
      if (stained || from >= jobs.length) continue;
      noticed.add(jobs[from]![0]);
      say(jobs[from]![0], true);
      from++;
    }
    files.forEach((file, k) => Deno.writeTextFileSync(join(copy, file), sources[k]!));
  }
}

/** How many jobs a process got through, before all were done, it was stained, or it fell silent. */
async function ask(
  list: string,
  from: number,
  heard: (number: number, noticed: boolean) => void,
  written = false,
): Promise<{ ended: number; stained: boolean }> {
  const child = new Deno.Command(Deno.execPath(), {
    args: [
      "run",
      "--no-check",
      "--allow-all",
      join(copy, "test/mutation/ask.ts"),
      list,
      `${from}`,
      ...(written ? ["written"] : []),
    ],
    cwd: copy,
    stdout: "piped",
    stderr: "null",
  }).spawn();
  let silence = setTimeout(() => child.kill("SIGKILL"), patience);
  let ended = 0;
  let stained = false;
  const lines = child.stdout.pipeThrough(new TextDecoderStream()).pipeThrough(byLine());
  for await (const line of lines) {
    clearTimeout(silence);
    silence = setTimeout(() => child.kill("SIGKILL"), patience);
    const [word, number, verdict, state] = line.split(" ");
    if (word === "not" && !written) {
      unasked.add(number!);
      console.log(line.replace(copy + "/", "asked: "));
    }
    if (word !== "end") continue;
    ended++;
    stained = state === "stained";
    heard(Number(number), verdict === "caught");
  }
  clearTimeout(silence);
  await child.status;
  return { ended, stained };
}

function byLine(): TransformStream<string, string> {
  let rest = "";
  return new TransformStream({
    transform(text, out) {
      const lines = (rest + text).split("\n");
      rest = lines.pop()!;
      for (const line of lines) out.enqueue(line);
    },
  });
}
