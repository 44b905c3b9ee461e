import { estimandInWords } from "../../balance/estimand/mod.ts";
import { formatNumber, inSentence, levelText, per100, uncapitalized } from "../../words/mod.ts";
import { differenceWords, verdictOf, verdictSentence } from "../show/mod.ts";
import { type FindingItem, type Placed, type ReportModel, tableOf } from "../model/mod.ts";
import {
  anchorOf,
  type Place,
  rangeStrip,
  sentenceTree,
  standingCautions,
  statusBadge,
} from "../page/mod.ts";
import { gridId, ledgerId, ledgerLines } from "../pair-tables/mod.ts";
import { type Content, type Element, h } from "../tree/mod.ts";
import { mainFindings } from "./choose.ts";
import { gridTree } from "./grid.ts";
import { ledgerTree } from "./ledger.ts";
import { warningLines } from "./warning-lines.ts";

/**
 * The first page: the question, what these data show, by population where the run has a grid and
 * with benefit beside harm where it has a ledger, what the file does not hold, and the cautions.
 */
export function frontTree(place: Place): Content {
  const { model } = place;
  const { study, items } = model;
  const findings = mainFindings(model);
  const grid = tableOf(items, gridId);
  const ledger = tableOf(items, ledgerId);
  return [
    h(
      "header.first",
      {},
      h("p.overline#title", {}, study.title, " ", h("span", {}, study.centre)),
      h("h1#question", {}, study.question),
      countsTree(model),
    ),
    h(
      "section.answer",
      { ariaLabelledBy: "answer", class: grid ? "with-grid" : "alone" },
      h("h2#answer", {}, "What these data show"),
      grid && gridTree(grid, place),
      findings.length > 0
        ? h("div.findings", {}, findings.map((placed) => answerTree(placed, place, !grid)))
        : noAnswer(model),
    ),
    h(
      "div.pair",
      {},
      h(
        "section",
        { ariaLabelledBy: "how-sure" },
        h("h2#how-sure", {}, "How sure"),
        list([
          ...certaintyLines(findings),
          ...warningLines(model),
          ...notesAbout(model, "certainty"),
        ].slice(0, mostLimits)),
      ),
      h(
        "section",
        { id: notHeldId, ariaLabelledBy: "cannot-tell" },
        h("h2#cannot-tell", {}, notHeldTitle),
        list(notHeld(model, findings)),
      ),
      h(
        "section.cautions",
        { ariaLabelledBy: "cautions" },
        h("h2#cautions", {}, "Before this is used"),
        list([...standingCautions.slice(0, 2), ...notesAbout(model, "caution")]),
      ),
    ),
    ...(ledger ? [ledgerTree(ledger)] : []),
  ];
}

const notHeldId = "not-held";
const notHeldTitle = "What the file does not hold";

/** The parts of the first page that a reader may look for, for the list of contents. */
export function frontParts({ items }: ReportModel): { anchor: string; title: string }[] {
  const ledger = tableOf(items, ledgerId);
  return [
    { anchor: notHeldId, title: notHeldTitle },
    ...(ledger ? [{ anchor: anchorOf(ledger.item), title: ledger.item.title }] : []),
  ];
}

/** How many, where and until when: in one line under the question. */
function countsTree({ study, items }: ReportModel): Content {
  const who = items.notes.find(({ item }) => item.id === "who-was-studied");
  const followed = items.notes.find(({ item }) => item.id === "followed-until");
  const until = followed?.item.text ??
    `Follow-up was last sought in ${Math.floor(study.timeZero.closingYear)}.`;
  return h("p.counts", {}, who ? `${who.item.text} ${until}` : until);
}

function answerTree(placed: Placed<FindingItem>, place: Place, drawn: boolean): Element {
  const { item } = placed;
  const table = tableOf(place.model.items, item.tableId);
  const verdict = verdictOf(item);
  const tone = verdict === "first" || verdict === "second" ? "clear" : verdict;
  return h(
    `article.finding.${tone}`,
    {},
    h("h3", {}, verdictSentence(item)),
    h("p", {}, sentenceTree(item, place)),
    drawn && rangeStrip(item, differenceWords(item)),
    h(
      "p.from",
      {},
      `${appliesTo(item)} `,
      statusBadge(item.status),
      " ",
      table && [
        "Numbers in ",
        h("a", { href: place.href(anchorOf(table.item)) }, uncapitalized(place.nameOf(table))),
        ", ",
      ],
      h("a", { href: `supplement.html#${anchorOf(item)}` }, "how they were worked out"),
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
    .map((margin) => formatNumber(per100(margin))).join(" or ");
  if (kinds.has("uncertain")) {
    lines.push(
      `“Not settled” means that the range includes no difference and also one of ${margins} per ` +
        "100 or more. It does not mean that the operations are equal.",
    );
  }
  if (kinds.has("alike")) {
    lines.push(
      `“No clear difference” is said only where the whole range lies within ${margins} in 100 ` +
        `either way.`,
    );
  }
  return lines;
}

/** What nobody recorded, and what a design cannot say: the file's own gaps first. */
function notHeld(model: ReportModel, findings: readonly Placed<FindingItem>[]): string[] {
  const ledger = tableOf(model.items, ledgerId);
  const missing = ledger
    ? ledgerLines(ledger.item).filter(({ instead }) => /not in the file/i.test(instead))
      .map(({ label }) => uncapitalized(label))
    : [];
  const told = notesAbout(model, "cannot-tell");
  const matched = findings.some(({ item }) => item.estimand === "matched sample");
  const seen = findings.some(({ item }) => item.endpoint === "recurrence") &&
    !told.some((text) => text.includes("echocardiogram"));
  const standing = [
    ...(missing.length > 0 ? [`Not in the file: ${missing.join(", ")}.`] : []),
    "Patients were not assigned at random: whatever made a surgeon choose and was not recorded may " +
    "explain part of a difference.",
    ...(matched
      ? [
        "Matched results apply to patients with a counterpart in the other group, and to nobody else.",
      ]
      : []),
    ...(seen ? ["Recurrence is seen only when somebody does an echocardiogram."] : []),
  ];
  return [...standing, ...told].slice(0, mostLimits);
}

/** Limits on the first page, which is one page; the supplement has every note. */
const mostLimits = 5;

function notesAbout(model: ReportModel, about: "certainty" | "cannot-tell" | "caution"): string[] {
  return model.items.notes.filter(({ item }) => item.about === about).map(({ item }) => item.text);
}

function list(lines: readonly string[]): Element {
  if (lines.length === 0) return h("p", {}, "Nothing can be said without a finding.");
  return h("ul", {}, lines.map((line) => h("li", {}, line)));
}

/** By which design a finding was made, and to whom it applies. */
export function appliesTo({ design, estimand, groups: [first] }: FindingItem): string {
  const whom = estimandInWords(estimand === "matched sample" ? "matched" : estimand, {
    treatment: inSentence(first.label),
  });
  return `${designs[design]}: ${whom}.`;
}

const designs: Record<FindingItem["design"], string> = {
  matched: "Matched pairs",
  weighted: "Weighted groups",
  unadjusted: "Groups as they were, not alike",
};
