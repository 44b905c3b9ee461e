// Times our function and, where Rscript is installed, the reference on the very same rows.

/** Shortest of `runs` runs, after one to warm up, and the last value. */
export function bestOf<T>(runs: number, work: () => T): { seconds: number; value: T } {
  let value = work();
  let seconds = Infinity;
  for (let run = 0; run < runs; run++) {
    const start = performance.now();
    value = work();
    seconds = Math.min(seconds, (performance.now() - start) / 1000);
  }
  return { seconds, value };
}

/** Writes columns to a temporary CSV file, for the reference to read. */
export function writeColumns(columns: Record<string, ArrayLike<number>>): string {
  const names = Object.keys(columns);
  const lines = [names.join(",")];
  const n = columns[names[0]!]!.length;
  for (let i = 0; i < n; i++) lines.push(names.map((name) => columns[name]![i]).join(","));
  const file = Deno.makeTempFileSync({ suffix: ".csv" });
  Deno.writeTextFileSync(file, lines.join("\n"));
  return file;
}

/**
 * Runs statements in R with the file read as `d`: the first is preparation, those between are
 * timed one by one, the last prints numbers. Nothing is timed where there is no Rscript.
 */
export function reference(
  file: string,
  statements: string[],
): { seconds: number[]; printed: number[] } {
  const timed = statements.slice(1, -1).map((s) => `cat(system.time(${s})[[3]], "")`);
  const code = [`d <- read.csv("${file}")`, statements[0], ...timed, 'cat("|")', statements.at(-1)];
  try {
    const run = new Deno.Command("Rscript", { args: ["-e", code.join("\n")], stderr: "inherit" });
    const { success, stdout } = run.outputSync();
    if (!success) return { seconds: [], printed: [] };
    const [seconds = "", printed = ""] = new TextDecoder().decode(stdout).split("|");
    const numbers = (text: string) => text.trim().split(/\s+/).map(Number);
    return { seconds: numbers(seconds), printed: numbers(printed) };
  } catch (error) {
    if (error instanceof Deno.errors.NotFound) return { seconds: [], printed: [] };
    throw error;
  }
}

/** "yes", or both values. */
export function agreement(ours: number, theirs: number | undefined, relative = 1e-7): string {
  if (theirs === undefined) return "not run";
  return Math.abs(ours - theirs) <= relative * Math.abs(theirs) ? "yes" : `${ours} v ${theirs}`;
}
