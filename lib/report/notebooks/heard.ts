import { budget, type GuestEvent, type GuestText } from "../guest/mod.ts";
import { type Notebook, type NotebookFailure, withoutAdvice } from "./notebook.ts";
import { toFileUrl } from "./paths.ts";
import type { CellOutput } from "./run-notebook.ts";
import type { ModuleFile } from "./type-check.ts";

/** What was heard of a notebook's run so far, put in its place. */
export class Heard {
  /** Outputs of each code cell, in order. */
  readonly outputs: CellOutput[][];
  failure: NotebookFailure | undefined;
  /** Every cell began in its turn, and then the module ended; or nothing was left to compare. */
  ended = false;
  /** The cell with which it ended where nothing was left to compare. */
  stopped: number | undefined;
  /** What it worked out, for the next run. */
  answers: Uint8Array<ArrayBuffer> | undefined;
  /** Seconds to the first cell. */
  start = 0;
  #current = 0;
  /** When each cell began, and when the last one ended. */
  #moments: number[] = [];
  #printed: number[];

  constructor(
    readonly notebook: Notebook,
    readonly file: ModuleFile,
    readonly elapsed: () => number,
    readonly onCell: ((cell: number) => void) | undefined,
  ) {
    const { cellCount } = file.module;
    this.outputs = Array.from({ length: cellCount }, () => []);
    this.#printed = Array.from({ length: cellCount }, () => 0);
  }

  /** Takes in one event; once something has failed only that counts. */
  take(event: GuestEvent | GuestText): void {
    if (this.failure || this.ended) return;
    switch (event.type) {
      case "text":
        this.print("stdout", event.text);
        break;
      case "warned":
        this.print("stderr", event.shown.text);
        break;
      case "cell":
        this.#begin(event.cell);
        break;
      case "display":
      case "result": {
        const { bundle, item } = event.shown;
        this.#outputsOf(event.cell)?.push({ type: event.type, bundle, ...item });
        break;
      }
      case "answers":
        this.answers = Uint8Array.fromBase64(event.shown.bytes);
        break;
      case "error": {
        const { name, message, stack } = event.shown;
        const place = placeIn(stack, this.file) ?? (event.cell > 0 ? { cell: event.cell } : {});
        const words = `${name}: ${withoutAdvice(message)}`;
        this.failure = { notebook: this.notebook.id, ...place, stage: "running", message: words };
        this.#outputsOf(place.cell ?? 1)?.push({ type: "error", name, message: words });
        break;
      }
      case "unreadable":
        this.fail(
          "it showed something that no report can show: text by media type is wanted, and drawings " +
            `with at most ${budget.depth} groups in each other`,
        );
        break;
      case "stopped": {
        const { text } = event.shown;
        const id = `${this.notebook.id}-ends`;
        const note = { kind: "note", id, about: "cannot-tell", text } as const;
        this.#outputsOf(this.#current)?.push({
          type: "display",
          bundle: { "text/plain": text },
          item: note,
        });
        this.#moments.push(this.elapsed());
        this.stopped = this.#current;
        this.ended = true;
        break;
      }
      case "end":
        this.#moments.push(this.elapsed());
        if (this.#current === this.outputs.length) this.ended = true;
        else this.fail("the notebook ended before its last cell");
    }
  }

  /** Puts text below the cell that is running. */
  print(name: "stdout" | "stderr", text: string): void {
    const at = Math.max(this.#current, 1) - 1;
    const cell = this.outputs[at];
    const printed = this.#printed[at] ?? 0;
    const kept = text.slice(0, budget.printed - printed);
    this.#printed[at] = printed + kept.length;
    const last = cell?.at(-1);
    if (last?.type === "stream" && last.name === name) last.text += kept;
    else cell?.push({ type: "stream", name, text: kept });
    if (kept.length < text.length) {
      this.fail(
        `printed more than ${budget.printed / 1e6} million letters; print less, or show a table`,
      );
    }
  }

  /** Seconds that each cell took which came to its end, in order. */
  secondsOfCells(): number[] {
    return this.#moments.slice(1).map((moment, index) => moment - (this.#moments[index] ?? 0));
  }

  /** The notebook failed in the cell that is running. */
  fail(message: string): void {
    if (this.failure) return;
    const place = this.#current > 0 ? { cell: this.#current } : {};
    this.failure = { notebook: this.notebook.id, ...place, stage: "running", message };
  }

  #begin(cell: number): void {
    if (cell !== this.#current + 1 || cell > this.outputs.length) {
      this.fail(`cell ${cell} began out of its turn`);
      return;
    }
    this.#current = cell;
    const now = this.elapsed();
    this.#moments.push(now);
    if (cell === 1) this.start = now;
    this.onCell?.(cell);
  }

  #outputsOf(cell: number): CellOutput[] | undefined {
    return this.outputs[Math.max(cell, 1) - 1];
  }
}

/** The innermost frame of a stack that lies in the notebook's own module. */
function placeIn(stack: string, { module, path }: ModuleFile) {
  const url = toFileUrl(path).href;
  for (const line of stack.split("\n")) {
    const found = line.split(`${url}:`)[1];
    if (found !== undefined) return module.place(Number.parseInt(found, 10));
  }
  return undefined;
}
