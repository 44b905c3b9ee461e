import { sealRuns } from "../../../lib/report/seal/mod.ts";
import { table } from "../../../lib/report/show/mod.ts";
import type { TableInput } from "../../../lib/report/items/mod.ts";
import type { CellOutput, NotebookRun } from "../../../lib/report/notebooks/mod.ts";

// Each leak was once found in a report, or could have been; invented numbers, by hand.

const study = {
  smallestCell: 11,
  groups: { by: "intended" as const, repair: "Repair", replacement: "Replacement" },
  populations: [],
};

const hook = Symbol.for("Jupyter.display") as never;

export function shown(input: TableInput): CellOutput {
  const made = table(input);
  const bundle = made[hook] as () => Record<string, unknown>;
  return {
    type: "result",
    bundle: bundle(),
    item: { kind: "table", ...structuredClone(JSON.parse(JSON.stringify({ ...made }))) },
  };
}

export function seal(...outputs: CellOutput[]) {
  const run: NotebookRun = {
    notebook: { id: "01-a", cells: [], metadata: {}, minor: 5 } as never,
    outputs: [outputs],
    failure: undefined,
    seconds: { start: 0, total: 0, cells: [] },
  };
  const sealed = sealRuns([run], study);
  return { ...sealed, outputs: sealed.runs[0]!.outputs[0]!, run };
}

export const number = (key: string, label: string) => ({ key, label, kind: "number" as const });
export const text = (key: string, label: string) => ({ key, label, kind: "text" as const });

export const completeness = shown({
  id: "completeness",
  title: "Completeness",
  caption: "",
  columns: [text("arm", "Group"), number("patients", "Patients")],
  rows: [{ arm: "Repair", patients: 400 }, { arm: "Replacement", patients: 200 }],
});
export const flow = (everybody: number) =>
  shown({
    id: "flow-table",
    title: "Flow",
    caption: "",
    columns: [
      text("step", "Step"),
      number("excluded", "Excluded"),
      number("remaining", "Patients"),
    ],
    rows: [
      { step: "In the file", excluded: null, remaining: everybody + 40 },
      { step: "Excluded: age", excluded: 40, remaining: everybody },
      { step: "Repair", excluded: null, remaining: 400 },
      { step: "Replacement", excluded: null, remaining: everybody - 400 },
    ],
  });
