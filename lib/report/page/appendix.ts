import { checklistHtml } from "./checklist-html.ts";
import { escapeHtml } from "../show/mod.ts";
import { formatNumber } from "../../words/mod.ts";
import { plannedResults, type ReportModel } from "../model/mod.ts";

/** What the report rests on: files by hash, versions, and what the plan asked for. */
export function appendixHtml(model: ReportModel): string {
  const { files, lockSha256, versions } = model;
  const fileRows = [
    ...files.map(({ role, name, bytes, sha256 }) =>
      row([fileRoles[role], name, formatNumber(bytes), hash(sha256)])
    ),
    row(["Packages, fixed", "deno.lock", "", hash(lockSha256)]),
  ];
  const versionText = Object.entries(versions)
    .map(([name, version]) => `${escapeHtml(name)} ${escapeHtml(version)}`).join(", ");
  return `<p>The same files, packages and seed give this page again, byte for byte. How long each notebook took is in <code>manifest.json</code>, beside it.</p>
<div class="scroll" role="region" tabindex="0" aria-label="Files"><table><thead><tr><th scope="col">What</th><th scope="col">File</th><th scope="col" style="text-align:right">Bytes</th><th scope="col">SHA-256</th></tr></thead>
<tbody>${fileRows.join("\n")}</tbody></table></div>
<h3 id="checklist">Reporting checklist</h3>
${checklistHtml(model)}
<h3 id="versions">Versions</h3>
<p class="versions">${versionText}.</p>
<h3 id="planned">What the plan asked for</h3>
${plannedHtml(model)}
<h3 id="elsewhere">Beside this page</h3>
<p>Every table is also a CSV file in <code>tables/</code>, and all of them stand in its <code>tables.docx</code>; every figure is an SVG file in <code>figures/</code>, with the captions in <code>captions.txt</code>; and the notebooks with their outputs are in <code>notebooks/</code>.</p>`;
}

/** Each result the plan names, with a link to what fulfils it. */
function plannedHtml(model: ReportModel): string {
  const results = plannedResults(model);
  if (results.length === 0) return "<p>The study file plans no result by name.</p>";
  const lines = results.map(({ id, anchor, title }) =>
    anchor
      ? `<li><a href="#${anchor}">${escapeHtml(title ?? id)}</a></li>`
      : `<li>${escapeHtml(id)} <b class="unmet">planned but not done</b></li>`
  );
  return `<ul class="columns">${lines.join("\n")}</ul>`;
}

function row(cells: readonly [string, string, string, string]): string {
  const [what, name, bytes, sha256] = cells;
  return `<tr><th scope="row">${escapeHtml(what)}</th><td>${escapeHtml(name)}</td>` +
    `<td style="text-align:right">${escapeHtml(bytes)}</td><td>${sha256}</td></tr>`;
}

function hash(sha256: string): string {
  return `<code class="hash">${escapeHtml(sha256)}</code>`;
}

const fileRoles = {
  study: "Study file",
  cohort: "Cohort file",
  visits: "Visits file",
  "life table": "Life table",
} as const;
