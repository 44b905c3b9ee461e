// What a report costs: seconds by notebook and cell, and the most memory that all its processes
// held at once. Linux only: memory is read where the kernel keeps it.

/** Seconds of one notebook's run. */
export interface NotebookCost {
  id: string;
  /** Before its first cell. */
  start: number;
  /** Altogether. */
  total: number;
  /** Of each code cell. */
  cells: number[];
  /** Seconds of the processor, its workers' among them; those of others on the machine are not. */
  processor: number;
}

/** What one report cost. */
export interface ReportCost {
  /** From beginning to end. */
  seconds: number;
  /** Seconds of the processor, of all processes. */
  processor: number;
  notebooks: NotebookCost[];
  failures: unknown[];
  /** Bytes of all processes at the worst moment; what two share is counted once. */
  peak: number;
  /** Whether it came to its end; else it was stopped, and all numbers are those until then. */
  finished: boolean;
}

/** Looks at processes come so often, in milliseconds: what one does after the last is missed. */
const often = 200;

/** Memory is looked at each so many times: that walks all pages of a process, which waits. */
const seldom = 15;

/**
 * Runs a report over `patients.csv` and `visits.csv` in a folder.
 *
 * @param options.limit Seconds after which it is stopped; default none.
 */
export async function reportCost(
  folder: string,
  out: string,
  { limit = Infinity }: { limit?: number } = {},
): Promise<ReportCost> {
  const script = new URL("./one-report.ts", import.meta.url).pathname;
  const child = new Deno.Command(Deno.execPath(), {
    args: ["run", "-A", "--no-check", script, folder, out],
    stdout: "piped",
    stderr: "inherit",
  }).spawn();
  let peak = 0;
  let looks = 0;
  const processor = new Map<number, number>();
  const began = performance.now();
  let finished = true;
  const ofNotebooks = new Map<number, number>();
  const timer = setInterval(() => {
    const tree = [...descendants(child.pid)];
    if (looks++ % seldom === 0) {
      peak = Math.max(peak, tree.reduce((sum, pid) => sum + memoryOf(pid), 0));
    }
    for (const pid of tree) {
      // one that has just ended has nothing more to tell
      processor.set(pid, Math.max(processor.get(pid) ?? 0, processorOf(pid)));
      // the module it may read is named for the notebook's place
      const place = /modules\/(\d+)\.ts/.exec(read(`/proc/${pid}/cmdline`))?.[1];
      if (place !== undefined) ofNotebooks.set(Number(place) - 1, pid);
    }
    if ((performance.now() - began) / 1000 < limit) return;
    finished = false;
    for (const pid of tree) stop(pid);
  }, often);
  const { stdout } = await child.output();
  clearInterval(timer);
  const said = JSON.parse(new TextDecoder().decode(stdout).trim().split("\n").at(-1) || "{}");
  const runs: NotebookCost[] = said.notebooks ??
    Array.from({ length: Math.max(0, ...ofNotebooks.keys()) + 1 }, () => ({
      ...{ id: "", start: NaN, total: NaN, cells: [] },
    }));
  const notebooks = runs.map((one, place) => ({
    ...one,
    processor: processor.get(ofNotebooks.get(place) ?? -1) ?? NaN,
  }));
  const all = [...processor.values()].reduce((sum, one) => sum + one, 0);
  const seconds = said.seconds ?? (performance.now() - began) / 1000;
  return {
    ...said,
    failures: said.failures ?? [],
    seconds,
    notebooks,
    peak,
    processor: all,
    finished,
  };
}

function stop(pid: number): void {
  try {
    Deno.kill(pid, "SIGKILL");
  } catch {
    // it has ended
  }
}

function* descendants(pid: number): Generator<number> {
  yield pid;
  for (const task of list(`/proc/${pid}/task`)) {
    const children = read(`/proc/${pid}/task/${task}/children`).trim();
    for (const child of children === "" ? [] : children.split(" ")) {
      yield* descendants(Number(child));
    }
  }
}

/** Proportional set size: memory that several processes share counts once in their sum. */
function memoryOf(pid: number): number {
  const kilobytes = /^Pss:\s+(\d+)/m.exec(read(`/proc/${pid}/smaps_rollup`))?.[1];
  return Number(kilobytes ?? 0) * 1024;
}

/** Seconds of the processor so far; a clock tick is a hundredth. */
function processorOf(pid: number): number {
  const fields = read(`/proc/${pid}/stat`).split(") ")[1]?.split(" ") ?? [];
  return (Number(fields[11] ?? 0) + Number(fields[12] ?? 0)) / 100;
}

function read(path: string): string {
  try {
    return Deno.readTextFileSync(path);
  } catch {
    return ""; // the process has ended
  }
}

function list(path: string): string[] {
  try {
    return [...Deno.readDirSync(path)].map(({ name }) => name);
  } catch {
    return [];
  }
}

if (import.meta.main) {
  const [folder = ".", out = "/dev/null", keep, limit] = Deno.args;
  const cost = await reportCost(folder, out, { limit: Number(limit ?? Infinity) });
  if (keep) Deno.writeTextFileSync(keep, JSON.stringify(cost));
  const { notebooks, ...rest } = cost;
  console.log(JSON.stringify({ ...rest, peak: `${(rest.peak / 2 ** 30).toFixed(2)} GB` }));
  for (const { id, start, total, cells, processor } of notebooks) {
    const slow = cells.map((seconds, i) => ({ seconds, cell: i + 1 })).filter(({ seconds }) =>
      seconds > 0.3
    );
    console.log(
      id.padEnd(20),
      total.toFixed(1).padStart(7),
      `processor ${processor.toFixed(1)}`,
      `start ${start.toFixed(1)}`,
      slow.map(({ cell, seconds }) => `${cell}: ${seconds.toFixed(1)}`).join(", "),
    );
  }
}
