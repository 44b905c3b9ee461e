import type { ProgressTarget } from "../../study/file/mod.ts";
import { timeLeftText } from "../../words/mod.ts";

/** What a notebook is expected to take. */
export interface ExpectedNotebook {
  id: string;
  /** Code cells. */
  cells: number;
  /** Seconds that it took the last time, where that is known. */
  seconds?: number;
}

/** Progress of notebooks that run side by side. */
export interface Progress {
  /** Told before the first notebook runs, for the time that is left. */
  begin?(notebooks: readonly ExpectedNotebook[]): void;
  step(text: string): void;
  cell(notebook: string, position: { cell: number; of: number }): void;
  done(notebook: string, outcome: string): void;
}

/**
 * Progress as lines: one whenever a notebook ends; on a terminal a status line of the cells that
 * are running, rewritten in place; elsewhere a line for a cell that begins a second or more after
 * the last line. Each says how long all notebooks together will still take.
 */
export function progressLines(sink: ProgressTarget): Progress {
  const began = sink.now();
  const running = new Map<string, string>();
  const work = notebooksLeft();
  let lastLine = began;
  const elapsed = () => `${((sink.now() - began) / 1000).toFixed(1).padStart(6)} s`;
  const left = () => {
    const text = work.left(sink.now());
    return text === "" ? "" : `  (${text})`;
  };
  const status = () => {
    if (!sink.isTerminal) return;
    const cells = [...running].map(([notebook, text]) => `${notebook} ${text}`).join("   ");
    sink.write(`\r\x1b[2K${cells === "" ? "" : `${elapsed()}  ${cells}${left()}`}`);
  };
  const line = (text: string) => {
    if (sink.isTerminal) sink.write("\r\x1b[2K");
    sink.write(`${elapsed()}  ${text}\n`);
    lastLine = sink.now();
    status();
  };
  return {
    begin: (notebooks) => work.begin(notebooks, sink.now()),
    step: line,
    cell(notebook, { cell, of }) {
      const text = `cell ${cell}/${of}`;
      running.set(notebook, text);
      work.reached(notebook, (cell - 1) / of);
      if (sink.isTerminal) status();
      else if (sink.now() - lastLine >= 1000) line(`${notebook}  ${text}${left()}`);
    },
    done(notebook, outcome) {
      running.delete(notebook);
      work.reached(notebook, 1);
      line(`${notebook}  ${outcome}${left()}`);
    },
  };
}

/** How much of the notebooks is done, each by the seconds of the last run or by its cells. */
function notebooksLeft() {
  const weights = new Map<string, number>();
  const shares = new Map<string, number>();
  let began = NaN;
  let all = 0;
  return {
    begin(notebooks: readonly ExpectedNotebook[], now: number): void {
      began = now;
      const known = notebooks.filter(({ seconds }) => seconds !== undefined);
      const sum = (some: readonly ExpectedNotebook[], of: (one: ExpectedNotebook) => number) =>
        some.reduce((total, one) => total + of(one), 0);
      // a notebook that never ran takes as long a cell as the others do
      const perCell = known.length === 0
        ? 1
        : sum(known, ({ seconds }) => seconds ?? 0) / sum(known, ({ cells }) => Math.max(1, cells));
      for (const { id, cells, seconds } of notebooks) {
        weights.set(id, seconds ?? perCell * Math.max(1, cells));
      }
      all = [...weights.values()].reduce((total, one) => total + one, 0);
    },
    reached(id: string, share: number): void {
      shares.set(id, share);
    },
    left(now: number): string {
      const done = [...weights].reduce(
        (sum, [id, weight]) => sum + weight * (shares.get(id) ?? 0),
        0,
      );
      return timeLeftText(done, all, (now - began) / 1000);
    },
  };
}
