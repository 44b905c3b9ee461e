import type { ReportModel } from "../model/mod.ts";
import { supplementFile } from "../page/mod.ts";
import { type Element, h } from "../tree/mod.ts";

/** How to name this report so that another can be held against it, and what lies beside it. */
export function citeTree(
  { study, files, versions }: ReportModel,
  beside: { manuscript: boolean },
): Element {
  const cohort = files.find(({ role }) => role === "cohort");
  const plan = files.find(({ role }) => role === "study");
  const hash = (sha256: string | undefined) => sha256?.slice(0, 12) ?? "none";
  return h(
    "section.part#cite",
    { ariaLabelledBy: "cite-heading" },
    h("div.head", {}, h("p.topic", {}, "How to cite"), h("h2#cite-heading", {}, "This report")),
    h(
      "div.body",
      {},
      h(
        "p",
        {},
        `${study.centre}. ${study.title}. Report made with mitral ${versions.mitral ?? ""}; plan `,
        h("code", {}, hash(plan?.sha256)),
        ", cohort file ",
        h("code", {}, hash(cohort?.sha256)),
        ` (first digits of their SHA-256), seed ${study.seed}. The same files and seed give this page again.`,
      ),
      h(
        "p",
        {},
        "Beside this page: ",
        h("a", { href: supplementFile }, "the supplement"),
        " with every result, ",
        h("a", { href: "brief.html" }, "a page to hand out"),
        ", tables and figures as files in ",
        h("code", {}, "tables/"),
        " and ",
        h("code", {}, "figures/"),
        beside.manuscript && [", a draft for a manuscript in ", h("code", {}, "manuscript/")],
        ".",
      ),
    ),
  );
}
