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
}

/** Runs a report over `patients.csv` and `visits.csv` in a folder. */
export async function reportCost(folder: string, out: string): Promise<ReportCost> {
  const script = new URL("./one-report.ts", import.meta.url).pathname;
  const child = new Deno.Command(Deno.execPath(), {
    args: ["run", "-A", "--no-check", script, folder, out],
    stdout: "piped",
    stderr: "inherit",
  }).spawn();
  let peak = 0;
  const processor = new Map<number, number>();
  const ofNotebooks = new Set<number>();
  const timer = setInterval(() => {
    const tree = [...descendants(child.pid)];
    peak = Math.max(peak, tree.reduce((sum, pid) => sum + memoryOf(pid), 0));
    for (const pid of tree) {
      // one that has just ended has nothing more to tell
      processor.set(pid, Math.max(processor.get(pid) ?? 0, processorOf(pid)));
      if (read(`/proc/${pid}/cmdline`).includes("guest/runtime.ts")) ofNotebooks.add(pid);
    }
  }, 250);
  const { stdout } = await child.output();
  clearInterval(timer);
  const said = JSON.parse(new TextDecoder().decode(stdout).trim().split("\n").at(-1) ?? "{}");
  // notebooks are begun in their order
  const begun = [...ofNotebooks].sort((a, b) => a - b);
  const notebooks = said.notebooks.map((one: NotebookCost, place: number) => ({
    ...one,
    processor: processor.get(begun[place] ?? -1) ?? NaN,
  }));
  const all = [...processor.values()].reduce((sum, one) => sum + one, 0);
  return { ...said, notebooks, peak, processor: all };
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
  const [folder = ".", out = "/dev/null", keep] = Deno.args;
  const cost = await reportCost(folder, out);
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
