// Seconds of the processor of each cell of one notebook on one study, printed as JSON. Run by
// cell-growth.bench.ts: not shut off as a report's notebooks are, for the clock to be readable.
import process from "node:process";
import { join } from "node:path";
import { notebookModule } from "../../../lib/report/notebooks/module.ts";
import { readNotebooks } from "../../../lib/report/snapshot/mod.ts";
import { displayHook } from "mitral";

const [path = "", study = ""] = Deno.args;
Reflect.set(globalThis, Symbol.for("mitral.run"), { study });
const { notebooks: [notebook] } = await readNotebooks([path]);
const made = notebook && notebookModule(notebook);
if (!made || "failure" in made) throw new Error(`${path} cannot be read`);
const seconds: number[] = [];
let before: NodeJS.CpuUsage | undefined;

/** Ends the cell that runs, and begins the next. */
function cell(): void {
  if (before) {
    const { user, system } = process.cpuUsage(before);
    seconds.push((user + system) / 1e6);
  }
  before = process.cpuUsage();
}

/** What a cell shows is drawn, and goes nowhere. */
function show(value: unknown): void {
  const hook = (value as { [displayHook]?: () => unknown } | null | undefined)?.[displayHook];
  if (typeof hook === "function") hook.call(value);
}

const runtime = "cell-seconds";
Reflect.set(globalThis, Symbol.for(runtime), { cell, show });
const [, ...lines] = made.module.source.split("\n");
const folder = Deno.makeTempDirSync({ prefix: "mitral-bench-" });
const module = join(folder, "cells.ts");
// the library by its address: the module lies outside the project
const library = JSON.stringify(new URL("../../../lib/mod.ts", import.meta.url).href);
Deno.writeTextFileSync(
  module,
  [`const $mitral = globalThis[Symbol.for("${runtime}")];`, ...lines].join("\n")
    .replaceAll('from "mitral"', `from ${library}`),
);
const said = console.log;
console.log = () => {};
await import(`file://${module}`);
cell();
Deno.removeSync(folder, { recursive: true });
said(JSON.stringify(seconds));
Deno.exit(0);
