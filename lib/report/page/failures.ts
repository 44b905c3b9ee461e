import { describeFailures } from "../notebooks/mod.ts";
import type { ReportModel } from "../model/mod.ts";
import { type Content, h } from "../tree/mod.ts";

/** What went wrong, at the head of a page that does not have everything. */
export function failuresTree({ failures }: ReportModel): Content {
  if (failures.length === 0) return null;
  const lines = describeFailures(failures);
  return h(
    "div.failed.banner",
    { role: "alert" },
    h(
      "p",
      {},
      h("b", {}, "This report is incomplete."),
      ` Do not rely on it: ${
        lines.length === 1 ? "one thing" : `${lines.length} things`
      } went wrong.`,
    ),
    h("ul", {}, lines.map((words) => h("li", {}, words))),
  );
}
