import { type CellCode, cellCode } from "../cells/mod.ts";
import { codeOf, type NotebookRun } from "../notebooks/mod.ts";
import type { MissingMethod } from "../../missing/study/mod.ts";
import type { Method } from "./method.ts";
import { methodsRegistry } from "./registry.ts";
import { type ReferenceKey, references } from "./references.ts";

/** Which methods the executed notebooks used, and which stand behind each cell. */
export interface MethodsUsed {
  /** In the order of the registry. */
  methods: readonly Method[];
  /** Works they rest on, in the order in which the methods name them: the numbers of the list. */
  works: readonly ReferenceKey[];
  /** Methods behind what a code cell (from 1) of a notebook shows. */
  behind(place: { notebook: string; cell: number }): readonly Method[];
  /** The code of a cell, followed back. */
  code(place: { notebook: string; cell: number }): CellCode | undefined;
}

/**
 * Reads the methods off the code of the cells that ran: a method is used where one of its functions
 * is called, and where the plan has it. Nothing is declared by hand, so the section cannot claim
 * what was not done.
 */
export function methodsUsed(
  runs: readonly NotebookRun[],
  plan?: { missing: { method: MissingMethod } },
): MethodsUsed {
  const codes = new Map(
    runs.map(({ notebook, parts }) => [notebook.id, parts?.code ?? cellCode(codeOf(notebook))]),
  );
  const called = new Set<string>();
  for (const { notebook, failure, stopped } of runs) {
    const cells = codes.get(notebook.id) ?? [];
    const ran = failure
      ? (failure.stage === "running" ? (failure.cell ?? 1) - 1 : 0)
      : stopped === undefined
      ? cells.length
      : stopped - 1;
    for (const { library } of cells.slice(0, ran)) for (const name of library) called.add(name);
  }
  const methods = methodsRegistry.filter(({ functions, missing }) =>
    functions.some((f) => called.has(f)) &&
    (!missing || !plan || missing.includes(plan.missing.method))
  );
  const works = [...new Set(methods.flatMap(({ sources }) => sources))];
  const code = ({ notebook, cell }: { notebook: string; cell: number }) =>
    codes.get(notebook)?.[cell - 1];
  return {
    methods,
    works,
    code,
    behind(place) {
      const library = new Set(code(place)?.library);
      return methods.filter(({ functions }) => functions.some((f) => library.has(f)));
    },
  };
}

/** The number of a work in the list, from 1. */
export function workNumber(used: MethodsUsed, key: ReferenceKey): number {
  return used.works.indexOf(key) + 1;
}

/** A work as the list prints it. */
export function workText(key: ReferenceKey): string {
  return references[key];
}
