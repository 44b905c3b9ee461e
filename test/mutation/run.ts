// Changes one small thing at a time in the library and asks whether a test notices: `deno task
// mutants [--count N] [--seed N] [--in TEXT]`. Writes survivors.md, which somebody must read: each is
// a missing test, or a change that makes no difference, with the reason beside it.
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
    workers: { type: "string", default: "2" },
  },
});
const root = join(import.meta.dirname!, "../..");
// what answers come from, the rules of words, and the rules of what may be published
const watched =
  /^lib\/(numerics|regression|balance|survival|competing|sensitivity|missing|programme|disclosure|words|report\/show|cohort\/follow-up)\//;

const files = [...typescriptFiles(join(root, "lib"))].map((path) => relative(root, path))
  .filter((file) => watched.test(file) && !file.endsWith("mod.ts") && file.includes(values.in));
const every = files.flatMap((file) => mutantsOf(file, Deno.readTextFileSync(join(root, file))));
const random = new SeededRandom(Number(values.seed));
const chosen: Mutant[] = [];
while (chosen.length < Number(values.count) && every.length > 0) {
  chosen.push(every.splice(random.integer(every.length), 1)[0]!);
}

const survivors: Mutant[] = [];
let done = 0;
const queue = chosen.values();
await Promise.all(Array.from({ length: Number(values.workers) }, async () => {
  const copy = await copyOfProject();
  try {
    for (const mutant of queue) {
      const noticed = await isNoticed(copy, mutant);
      if (!noticed) survivors.push(mutant);
      console.log(
        `${++done}/${chosen.length} ${noticed ? "caught  " : "SURVIVED"} ${inWords(mutant)}`,
      );
    }
  } finally {
    await Deno.remove(copy, { recursive: true });
  }
}));
const caught = chosen.length - survivors.length;
const share = (100 * caught / chosen.length).toFixed(1);
console.log(`${caught} of ${chosen.length} mutants caught (${share}%), seed ${values.seed}`);
survivors.sort((a, b) => a.file < b.file ? -1 : a.file > b.file ? 1 : a.line - b.line);
for (const mutant of survivors) console.log(`survived: ${inWords(mutant)}`);

function inWords({ file, line, from, to }: Mutant): string {
  return `${file}:${line}: ${from.replace(/\s+/g, " ")} -> ${to.replace(/\s+/g, " ")}`;
}

/** The project but for what it wrote, so that a mutant is never seen outside. */
async function copyOfProject(): Promise<string> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-mutants-" });
  for (const name of ["lib", "test", "data-demo", "notebooks", "deno.json", "deno.lock"]) {
    const { success } = await new Deno.Command("cp", {
      args: ["-r", join(root, name), join(folder, name)],
    }).output();
    if (!success) throw new Error(`${name} could not be copied`);
  }
  return folder;
}

async function isNoticed(copy: string, mutant: Mutant): Promise<boolean> {
  const tests = testsOf(root, mutant.file).map((path) => join(copy, relative(root, path)));
  if (tests.length === 0) return false;
  const path = join(copy, mutant.file);
  const source = await Deno.readTextFile(path);
  await Deno.writeTextFile(path, mutated(source, mutant));
  try {
    const child = new Deno.Command(Deno.execPath(), {
      args: ["test", "--quiet", "--no-check", "--allow-all", "--fail-fast", ...tests],
      cwd: copy,
      stdout: "null",
      stderr: "null",
    }).spawn();
    // a mutant that does not end was noticed
    const timer = setTimeout(() => child.kill(), 300_000);
    const { success } = await child.status;
    clearTimeout(timer);
    return !success;
  } finally {
    await Deno.writeTextFile(path, source);
  }
}
