import { whereOf } from "./file-heading.ts";
import { formatInWords } from "../../cohort/file/mod.ts";
import type { ReadingLog, Severity } from "../../cohort/model/mod.ts";
import { escapeHtml } from "../show/mod.ts";
import { styleSheet } from "../page/mod.ts";
import type { Validation, ValidationGroup, ValidationPlace } from "./validation.ts";

/** Places of a group that the page lists; the CSV beside it lists all there are. */
const mostPlaces = 200;

const headings: Record<Severity, [title: string, meaning: string]> = {
  structural: ["What stops a run", "Nothing is analysed until these are put right."],
  error: ["Errors", "These rows are set aside, counted and listed; the others are analysed."],
  warning: ["Warnings", "Possible but improbable: the rows are analysed as they are."],
};

/** Everything found, as one HTML page: no script, nothing fetched, every text escaped. */
export function validationHtml(validation: Validation): string {
  const { title, groups, log } = validation;
  const sections = (["structural", "error", "warning"] as const).map((severity) => {
    const found = groups.filter((group) => group.severity === severity);
    if (found.length === 0) return "";
    const [heading, meaning] = headings[severity];
    return `<section id="${severity}" class="standing"><div class="head"><h2>${heading}</h2></div>
<div class="body"><p>${meaning}</p>
${found.map(groupHtml).join("\n")}</div></section>`;
  });
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'">
<meta name="color-scheme" content="light dark">
<title>${escapeHtml(title)}: check of the files</title>
<style>${styleSheet()}
.places{font:.875rem/1.5 var(--plain);color:var(--soft)}
.body h3{margin-top:1.6rem}.body h3+p{margin-bottom:.4rem}</style>
</head>
<body>
<main>
<div class="first"><p class="overline">Check of the files</p>
<h1>${escapeHtml(title)}</h1>
<p>${escapeHtml(verdict(validation))}</p>
${log.length > 0 ? logHtml(log) : ""}</div>
${sections.filter((html) => html !== "").join("\n")}
</main>
<footer><p>A value that could identify somebody is not shown. Lines count from 1, the header being line 1.</p></footer>
</body>
</html>
`;
}

/** The outcome in one sentence. */
export function verdict({ counts }: Validation): string {
  const parts = [
    counted(counts.structural, "problem stops", "problems stop") + " a run",
    counted(counts.error, "error sets", "errors set") + " rows aside",
    counted(counts.warning, "warning"),
  ].filter((text) => !text.startsWith("0 "));
  return parts.length === 0 ? "Nothing was found to be wrong." : `${parts.join(", ")}.`;
}

function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

function groupHtml(group: ValidationGroup): string {
  const { rule, message, remedy, count, places } = group;
  const where = whereOf(group);
  const what = `${message}; ${remedy}.`;
  return `<h3>${escapeHtml(where)}${count > 1 ? ` <span class="badge">${count}</span>` : ""}</h3>
<p>${escapeHtml(what)} <span class="quiet">Rule ${escapeHtml(rule)}.</span></p>
${placesHtml(places, count)}`;
}

function placesHtml(places: readonly ValidationPlace[], count: number): string {
  if (places.length === 0) return "";
  const first = places[0];
  if (places.length === 1 && first && count === 1) {
    return `<p class="places">${escapeHtml(placeText(first))}</p>`;
  }
  const shown = places.slice(0, mostPlaces).map(placeText).join(" · ");
  const more = count > mostPlaces ? ` · and ${count - mostPlaces} more` : "";
  return `<details class="code"><summary>Where</summary><p class="places">${
    escapeHtml(shown + more)
  }</p></details>`;
}

function placeText({ row, line, value, message }: ValidationPlace): string {
  const at = [line === null ? "" : `line ${line}`, row === null ? "" : `row ${row}`]
    .filter((text) => text !== "").join(", ");
  const what = [value, message ?? null].filter((text) => text !== null);
  return what.length === 0 ? at : `${at}: ${what.join(", ")}`;
}

function logHtml(log: readonly ReadingLog[]): string {
  const rows = log.map((entry) =>
    `<tr><td>${escapeHtml(entry.file)}</td><td>${
      escapeHtml(entry.format ? formatInWords(entry.format) : "not read")
    }</td><td>${entry.rowsRead}</td><td>${entry.rowsSetAside}</td><td>${entry.rowsKept}</td></tr>`
  );
  return `<div class="table"><div class="scroll" tabindex="0"><table>
<thead><tr><th scope="col">File</th><th scope="col">Written as</th><th scope="col">Rows read</th><th scope="col">Rows with an error</th><th scope="col">Rows without</th></tr></thead>
<tbody>${rows.join("\n")}</tbody></table></div></div>`;
}
