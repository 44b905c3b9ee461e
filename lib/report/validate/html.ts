import { whereOf } from "./file-heading.ts";
import { formatInWords } from "../../cohort/file/mod.ts";
import type { ReadingLog, Severity } from "../../cohort/model/mod.ts";
import { costsInWords } from "./costs-in-words.ts";
import { documentHtml, sectionTree } from "../markup/mod.ts";
import { type Content, type Element, h } from "../tree/mod.ts";
import type { Validation, ValidationGroup, ValidationPlace } from "./validation.ts";

/** Places of a group that the page lists; the CSV beside it lists all there are. */
const mostPlaces = 200;

const headings: Record<Severity, [title: string, meaning: string]> = {
  structural: ["What stops a run", "Nothing is analysed until these are put right."],
  error: [
    "Errors",
    "Each costs a patient, a visit or a cell, counted and listed; the rest is analysed.",
  ],
  warning: ["Warnings", "Possible but improbable: the rows are analysed as they are."],
};

/** Everything found, as one HTML page: no script, nothing fetched. */
export function validationHtml(validation: Validation): string {
  const { title, groups, log } = validation;
  const sections = (["structural", "error", "warning"] as const).flatMap((severity) => {
    const found = groups.filter((group) => group.severity === severity);
    if (found.length === 0) return [];
    const [heading, meaning] = headings[severity];
    return sectionTree(severity, heading, h("p", {}, meaning), found.map(groupTree));
  });
  return documentHtml({
    title: `${title}: check of the files`,
    style: ".places{font:.875rem/1.5 var(--plain);color:var(--soft)}" +
      ".body h3{margin-top:1.6rem}.body h3+p{margin-bottom:.4rem}",
    body: [
      h(
        "main",
        {},
        h(
          "div.first",
          {},
          h("p.overline", {}, "Check of the files"),
          h("h1", {}, title),
          h("p", {}, verdict(validation)),
          log.length > 0 && logTree(log),
        ),
        sections,
      ),
      h(
        "footer",
        {},
        h(
          "p",
          {},
          "A value that could identify somebody is not shown. Lines count from 1, the header being line 1.",
        ),
      ),
    ],
  });
}

/** The outcome in one sentence. */
export function verdict({ counts }: Validation): string {
  const parts = [
    counted(counts.structural, "problem stops", "problems stop") + " a run",
    counted(counts.error, "error costs", "errors cost") + " patients, visits or cells",
    counted(counts.warning, "warning"),
  ].filter((text) => !text.startsWith("0 "));
  return parts.length === 0 ? "Nothing was found to be wrong." : `${parts.join(", ")}.`;
}

function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

function groupTree(group: ValidationGroup): Content {
  const { rule, message, remedy, count, places, costs } = group;
  return [
    h("h3", {}, whereOf(group), count > 1 && [" ", h("span.badge", {}, count)]),
    h(
      "p",
      {},
      `${message}; ${remedy}. `,
      costs && [h("strong", {}, `Costs ${costsInWords(costs)}.`), " "],
      h("span.quiet", {}, `Rule ${rule}.`),
    ),
    group.write?.map(({ what, part, line, json }) =>
      h("p", {}, `${what}, write in ${part}, line ${line} of the study file: `, h("code", {}, json))
    ),
    placesTree(places, count),
  ];
}

function placesTree(places: readonly ValidationPlace[], count: number): Content {
  const [first, ...others] = places;
  if (!first) return null;
  if (others.length === 0 && count === 1) return h("p.places", {}, placeText(first));
  const shown = places.slice(0, mostPlaces).map(placeText).join(" · ");
  const more = count > mostPlaces ? ` · and ${count - mostPlaces} more` : "";
  return h("details.code", {}, h("summary", {}, "Where"), h("p.places", {}, shown + more));
}

function placeText({ row, line, value, message }: ValidationPlace): string {
  const at = [line === null ? "" : `line ${line}`, row === null ? "" : `row ${row}`]
    .filter((text) => text !== "").join(", ");
  const what = [value, message ?? null].filter((text) => text !== null);
  return what.length === 0 ? at : `${at}: ${what.join(", ")}`;
}

function logTree(log: readonly ReadingLog[]): Element {
  const heads = ["File", "Written as", "Rows read", "Rows with an error", "Rows without"];
  const rows = log.map((entry) => [
    entry.file,
    entry.format ? formatInWords(entry.format) : "not read",
    entry.rowsRead,
    entry.rowsSetAside,
    entry.rowsKept,
  ]);
  return h(
    "div.table",
    {},
    h(
      "div.scroll",
      { tabindex: 0 },
      h(
        "table",
        {},
        h("thead", {}, h("tr", {}, heads.map((label) => h("th", { scope: "col" }, label)))),
        h("tbody", {}, rows.map((cells) => h("tr", {}, cells.map((cell) => h("td", {}, cell))))),
      ),
    ),
  );
}
