import { checklistTree } from "./checklist-tree.ts";
import { limitsHeldTree } from "./limits-held-tree.ts";
import { scrolling } from "../page/mod.ts";
import type { FileRecord } from "../../study/file/mod.ts";
import { formatNumber } from "../../words/mod.ts";
import { plannedResults, type ReportModel } from "../model/mod.ts";
import { type Content, type Element, h } from "../tree/mod.ts";

/** What the report rests on: files by hash, versions, and what the plan asked for. */
export function appendixTree(model: ReportModel): Content {
  const { files, lockSha256, versions } = model;
  const rows = [
    ...files.map(({ role, name, bytes, sha256 }) =>
      row([fileRole(role), name, formatNumber(bytes), sha256])
    ),
    row(["Packages, fixed", "deno.lock", "", lockSha256]),
  ];
  const versionText = Object.entries(versions).map(([name, version]) => `${name} ${version}`);
  return [
    h(
      "p",
      {},
      "The same files, packages and seed give this page again, byte for byte. How long each notebook took is in ",
      h("code", {}, "manifest.json"),
      ", beside it.",
    ),
    scrolling(
      "Files",
      h(
        "table",
        {},
        h(
          "thead",
          {},
          h(
            "tr",
            {},
            ["What", "File", "Bytes", "SHA-256"].map((label) =>
              h("th", { scope: "col", style: label === "Bytes" && "text-align:right" }, label)
            ),
          ),
        ),
        h("tbody", {}, rows),
      ),
    ),
    h("h3#checklist", {}, "Reporting checklist"),
    checklistTree(model),
    h("h3#limits-held", {}, "How often such limits held the truth"),
    limitsHeldTree(model),
    h("h3#versions", {}, "Versions"),
    h("p.versions", {}, `${versionText.join(", ")}.`),
    h("h3#planned", {}, "What the plan asked for"),
    plannedTree(model),
    h("h3#elsewhere", {}, "Beside this page"),
    h(
      "p",
      {},
      "Every table is also a CSV file in ",
      h("code", {}, "tables/"),
      ", and all of them stand in its ",
      h("code", {}, "tables.docx"),
      "; every figure is an SVG file in ",
      h("code", {}, "figures/"),
      ", with the captions in ",
      h("code", {}, "captions.txt"),
      "; and the notebooks with their outputs are in ",
      h("code", {}, "notebooks/"),
      ".",
    ),
  ];
}

/** Each result the plan names, with a link to what fulfils it. */
function plannedTree(model: ReportModel): Element {
  const results = plannedResults(model);
  if (results.length === 0) return h("p", {}, "The study file plans no result by name.");
  return h(
    "ul.columns",
    {},
    results.map(({ id, anchor, title }) =>
      h(
        "li",
        {},
        anchor
          ? h("a", { href: `#${anchor}` }, title ?? id)
          : [id, " ", h("b.unmet", {}, "planned but not done")],
      )
    ),
  );
}

function row([what, name, bytes, sha256]: readonly [string, string, string, string]): Element {
  return h(
    "tr",
    {},
    h("th", { scope: "row" }, what),
    h("td", {}, name),
    h("td", { style: "text-align:right" }, bytes),
    h("td", {}, h("code.hash", {}, sha256)),
  );
}

function fileRole(role: FileRecord["role"]): string {
  return role in fileRoles
    ? fileRoles[role as keyof typeof fileRoles]
    : `Table “${role.slice("table ".length)}”`;
}

const fileRoles = {
  study: "Study file",
  cohort: "Cohort file",
  visits: "Visits file",
  "life table": "Life table",
} as const;
