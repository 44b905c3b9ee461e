import { levelText } from "../../words/mod.ts";
import {
  differenceWords,
  headlineFindings,
  type Verdict,
  verdictOf,
  verdictSentence,
} from "../show/mod.ts";
import { figureTree, sentenceTree, statusBadge } from "./items-on-page.ts";
import { rangeStrip } from "./range-strip.ts";
import { type Content, type Element, h } from "../tree/mod.ts";
import { type FindingItem, type Placed, type ReportModel, tableOf } from "../model/mod.ts";

/** The id of the figure that the first screen shows, which its section then only refers to. */
export function headlineFigureId(model: ReportModel): string | undefined {
  const chosen = headline(model).find(({ item }) =>
    model.items.figures.some((figure) => figure.item.id === item.figureId)
  );
  return chosen?.item.figureId;
}

/** Question, answer, one picture, how sure, what it cannot tell. */
export function firstScreen(model: ReportModel): Content {
  const { study, items } = model;
  const findings = headline(model);
  const figureId = headlineFigureId(model);
  const picture = items.figures.find(({ item }) => item.id === figureId);
  const certain = notesAbout(model, "certainty");
  const told = notesAbout(model, "cannot-tell");
  // a notebook that says more on echocardiograms than the standing line makes it superfluous
  const standing = standingLimits(findings).filter((line) =>
    !(line.includes("echocardiogram") && told.some((note) => note.includes("echocardiogram")))
  );
  return [
    h(
      "header.first",
      {},
      h("p.overline#title", {}, study.title, " ", h("span", {}, study.centre)),
      h("h1#question", {}, study.question),
    ),
    h(
      "div.lead",
      {},
      h(
        "section.answer",
        { ariaLabelledBy: "answer" },
        h("h2#answer", {}, "What these data show"),
        findings.length > 0 ? findings.map((placed) => answerTree(placed, model)) : noAnswer(model),
      ),
      picture && figureTree(picture, model, { anchor: true }),
    ),
    h(
      "div.pair",
      {},
      h(
        "section",
        { ariaLabelledBy: "how-sure" },
        h("h2#how-sure", {}, "How sure"),
        list([...certaintyLines(findings), ...certain, ...warningLines(model)]),
      ),
      h(
        "section",
        { ariaLabelledBy: "cannot-tell" },
        h("h2#cannot-tell", {}, "What this cannot tell"),
        list([...told, ...standing]),
      ),
    ),
  ];
}

function headline(model: ReportModel): Placed<FindingItem>[] {
  const placed = new Map(model.items.findings.map((entry) => [entry.item, entry]));
  return headlineFindings(model.items.findings.map(({ item }) => item), model.study.estimand)
    .map((item) => placed.get(item)).filter((entry) => entry !== undefined);
}

function answerTree(placed: Placed<FindingItem>, model: ReportModel): Element {
  const { item } = placed;
  const table = tableOf(model.items, item.tableId);
  const figure = model.items.figures.find((candidate) => candidate.item.id === item.figureId);
  const links = [
    table && ["Numbers in ", h("a", { href: `#table-${table.item.id}` }, `table ${table.number}`)],
    figure &&
    ["drawn in ", h("a", { href: `#figure-${figure.item.id}` }, `figure ${figure.number}`)],
    h("a", { href: `#finding-${item.id}` }, `worked out in ${placed.notebook}`),
  ].filter((link) => link !== undefined);
  const designs = {
    matched: "Matched pairs",
    weighted: "Weighted groups",
    unadjusted: "Groups as they were",
  };
  return h(
    `article.finding.${toneOf(verdictOf(item))}`,
    {},
    h("h3", {}, verdictSentence(item)),
    h("p", {}, sentenceTree(item, model)),
    rangeStrip(item, differenceWords(item)),
    h(
      "p.from",
      {},
      `${designs[item.design]}; they apply to ${whom[item.estimand]} `,
      statusBadge(item.status),
      h("br", {}),
      links.map((link, i) => [i > 0 && ", ", link]),
      ".",
    ),
  );
}

function noAnswer(model: ReportModel): Element {
  const why = model.failures.length > 0
    ? "The notebooks that would have answered did not run to their end; see above."
    : "No notebook recorded a finding.";
  return h("p.lede", {}, why);
}

/** How the verdicts were reached, in a line for each kind that occurs. */
function certaintyLines(findings: readonly Placed<FindingItem>[]): string[] {
  const lines: string[] = [];
  const levels = [...new Set(findings.map(({ item }) => item.confidence))];
  const level = levels.map((value) => levelText(value)).join(" and ");
  if (findings.length > 0) {
    lines.push(
      `Each plausible range is a ${level} confidence interval: a difference outside it fits these ` +
        `data poorly. It counts chance only, not patients who differ in ways nobody recorded.`,
    );
  }
  const kinds = new Set(findings.map(({ item }) => verdictOf(item)));
  const margins = [...new Set(findings.map(({ item }) => item.smallestThatMatters))]
    .map((margin) => `${Math.round(margin * 1000) / 10}`).join(" or ");
  if (kinds.has("uncertain")) {
    lines.push(
      `“Not settled” means that the range includes no difference and also a difference beyond the ` +
        `shaded band (${margins} per 100). It does not mean that the operations are equal.`,
    );
  }
  if (kinds.has("alike")) {
    lines.push(
      `“No clear difference” is said only where the whole range lies within ${margins} in 100 ` +
        `either way, the shaded band.`,
    );
  }
  return lines;
}

/** How many warnings were raised, so that none is missed; each stands where it was raised. */
function warningLines({ items }: ReportModel): string[] {
  const raised = items.notes.filter(({ item }) => item.about === "warning");
  if (raised.length === 0) return [];
  const sections = new Set(raised.map(({ notebook }) => notebook));
  const [count, verb] = raised.length === 1
    ? ["1 warning", "was"]
    : [`${raised.length} warnings`, "were"];
  return [
    `${count} ${verb} raised in computing, shown where ${verb === "was" ? "it" : "they"} arose: ` +
    `${[...sections].join(", ")}.`,
  ];
}

function standingLimits(findings: readonly Placed<FindingItem>[]): string[] {
  const lines = [
    "Patients were not assigned at random: whatever made a surgeon choose and was not recorded may " +
    "explain part of a difference.",
    "These are averages of groups. For one patient, use current guidelines and the heart team, with " +
    "the patient.",
  ];
  if (findings.some(({ item }) => item.estimand === "matched sample")) {
    lines.push(
      "Matched results apply to patients with a counterpart in the other group, and to nobody else.",
    );
  }
  if (findings.some(({ item }) => item.endpoint === "recurrence")) {
    lines.push("Recurrence is seen only when somebody does an echocardiogram.");
  }
  return lines;
}

function notesAbout(model: ReportModel, about: "certainty" | "cannot-tell"): string[] {
  return model.items.notes.filter(({ item }) => item.about === about).map(({ item }) => item.text);
}

function list(lines: readonly string[]): Element {
  if (lines.length === 0) return h("p", {}, "Nothing can be said without a finding.");
  return h("ul", {}, lines.map((line) => h("li", {}, line)));
}

function toneOf(verdict: Verdict): string {
  return verdict === "first" || verdict === "second" ? "clear" : verdict;
}

const whom: Record<FindingItem["estimand"], string> = {
  everyone: "all eligible patients",
  treated: "patients like those repaired",
  overlap: "patients for whom either operation was a real choice",
  "matched sample": "the matched patients only",
};
