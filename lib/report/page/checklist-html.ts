import { checklist } from "./checklist.ts";
import { escapeHtml } from "../show/mod.ts";
import type { ReportModel } from "../model/mod.ts";

/** The reporting checklist as a table: each item with links to where it is met, or "not met". */
export function checklistHtml(model: ReportModel): string {
  const lines = checklist(model);
  const met = lines.filter(({ evidence }) => evidence && !evidence.lacks).length;
  const part = lines.filter(({ evidence }) => evidence?.lacks).length;
  const rows = lines.map(({ item, asks, evidence }) => {
    const links = evidence?.links.map(({ anchor, text }) =>
      `<a href="#${anchor}">${escapeHtml(text)}</a>`
    ).join(", ");
    const where = !evidence
      ? `<b class="unmet">not met</b>`
      : evidence.lacks
      ? `in part: ${links}; lacks ${escapeHtml(evidence.lacks)}`
      : links;
    return `<tr><th scope="row">${item}</th><td>${escapeHtml(asks)}</td><td>${where}</td></tr>`;
  });
  return `<p>What published guidance asks of a report on a cohort: STROBE (von Elm and others, Lancet 2007;370:1453-1457), and from R on its extension to routinely collected data, RECORD (Benchimol and others, PLoS Med 2015;12:e1001885), shortened. ${met} of ${lines.length} are met here, ${part} in part. What only an author can supply is not met.</p>
<figure class="table long"><div class="scroll" role="region" tabindex="0" aria-label="Reporting checklist"><table class="checklist"><thead><tr><th scope="col">Item</th><th scope="col">Asks for</th><th scope="col">Where</th></tr></thead>
<tbody>${rows.join("\n")}</tbody></table></div></figure>`;
}
