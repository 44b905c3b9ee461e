import { join } from "node:path";

/** A test of a file: which of those that it defines, from 0. */
export interface Test {
  path: string;
  place: number;
}

/** What one test does without a mutant. */
export interface Looked extends Test {
  passed: boolean;
  /** Of the processor. */
  seconds: number;
  /** Numbers of the mutants whose expression it works out. */
  reached: number[];
}

/** A mutant, by its number, with the tests to ask in their order. */
export interface Job {
  number: number;
  tests: Test[];
}

/** Runs every test of these files once, in one process, and says what each reaches. */
export async function lookAt(copy: string, paths: readonly string[]): Promise<Looked[]> {
  const looked: Looked[] = [];
  let rest = [...paths];
  while (rest.length > 0) {
    let last = rest[0]!;
    const ended = await listen(copy, "look", rest, 0, (word, line) => {
      if (word === "look") last = line;
      if (word === "looked") looked.push(JSON.parse(line));
    });
    // the one that stopped the process is not asked
    if (ended) break;
    rest = rest.slice(rest.indexOf(last) + 1);
  }
  return looked;
}

/**
 * Tries mutants, in one process for as long as they leave no mark, and says of each whether a test
 * noticed it and which. One that never ends is noticed.
 */
export async function attempt(
  copy: string,
  jobs: readonly Job[],
  heard: (number: number, by: string | undefined) => void,
): Promise<void> {
  for (let from = 0; from < jobs.length;) {
    let stained = false;
    let by: string | undefined;
    await listen(copy, "try", jobs, from, (word, line) => {
      const [number, verdict, state] = line.split(" ");
      if (word === "begin") by = undefined;
      if (word === "noticed") by = line.slice(line.indexOf(" ") + 1);
      if (word !== "end") return;
      heard(Number(number), verdict === "caught" ? by : undefined);
      from++;
      stained = state === "stained";
    });
    if (stained || from >= jobs.length) continue;
    heard(jobs[from]!.number, "it does not end");
    from++;
  }
}

/** Hears a process line by line; whether it came to its end. */
async function listen(
  copy: string,
  task: string,
  given: unknown,
  from: number,
  hear: (word: string, line: string) => void,
): Promise<boolean> {
  const list = join(copy, "given.json");
  Deno.writeTextFileSync(list, JSON.stringify(given));
  const script = join(copy, "test/mutation/ask.ts");
  const child = new Deno.Command(Deno.execPath(), {
    args: ["run", "--no-check", "--allow-all", script, task, list, `${from}`],
    cwd: copy,
    stdout: "piped",
    stderr: "null",
  }).spawn();
  const lines = child.stdout.pipeThrough(new TextDecoderStream()).pipeThrough(byLine());
  for await (const line of lines) {
    const space = line.indexOf(" ");
    hear(line.slice(0, space), line.slice(space + 1));
  }
  return (await child.status).success;
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
