/** Where progress is written. */
export interface ProgressSink {
  write(text: string): void;
  /** Whether one line can be rewritten in place. */
  isTerminal: boolean;
  /** Milliseconds, for elapsed times. */
  now(): number;
}

/** Progress of notebooks that run side by side. */
export interface Progress {
  step(text: string): void;
  cell(notebook: string, position: { cell: number; of: number }): void;
  done(notebook: string, outcome: string): void;
}

/**
 * Progress as lines: one whenever a notebook ends; on a terminal a status line of the cells that
 * are running, rewritten in place; elsewhere a line for a cell that begins a second or more after
 * the last line.
 */
export function progressLines(sink: ProgressSink): Progress {
  const began = sink.now();
  const running = new Map<string, string>();
  let lastLine = began;
  const elapsed = () => `${((sink.now() - began) / 1000).toFixed(1).padStart(6)} s`;
  const status = () => {
    if (!sink.isTerminal) return;
    const cells = [...running].map(([notebook, text]) => `${notebook} ${text}`).join("   ");
    sink.write(`\r\x1b[2K${cells === "" ? "" : `${elapsed()}  ${cells}`}`);
  };
  const line = (text: string) => {
    if (sink.isTerminal) sink.write("\r\x1b[2K");
    sink.write(`${elapsed()}  ${text}\n`);
    lastLine = sink.now();
    status();
  };
  return {
    step: line,
    cell(notebook, { cell, of }) {
      const text = `cell ${cell}/${of}`;
      running.set(notebook, text);
      if (sink.isTerminal) status();
      else if (sink.now() - lastLine >= 1000) line(`${notebook}  ${text}`);
    },
    done(notebook, outcome) {
      running.delete(notebook);
      line(`${notebook}  ${outcome}`);
    },
  };
}
