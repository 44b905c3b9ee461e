import type { PlanLock } from "../../study/lock/mod.ts";
import { capitalized, formatNumber } from "../../words/mod.ts";
import { planDifferences } from "../compare/mod.ts";
import { publishedPlan } from "../files/mod.ts";
import type { ReportModel } from "../model/mod.ts";
import { kindOf, sentence } from "../show/mod.ts";
import { type Content, h } from "../tree/mod.ts";

/** Whether a plan was fixed before outcomes were looked at, in a sentence or two. */
export function lockWords({ lock }: Pick<ReportModel, "lock">): string {
  if (!lock) {
    return "The plan was not locked before outcomes were joined: when it was written, nobody can " +
      "verify.";
  }
  const when = lock.outcomesSeenAt === null
    ? "before any report with outcomes that its folder knows of"
    : `after a report with outcomes had been made, on ${day(lock.outcomesSeenAt)}`;
  const registered = lock.registered ? ` Registered: ${lock.registered}.` : "";
  return `The plan was locked on ${day(lock.lockedAt)}, ${when}.${registered}`;
}

/** When the plan was fixed, what changed since, and how many tests the report prints. */
export function lockTree(model: ReportModel): Content {
  const { lock, study } = model;
  const changes = lock ? changesSince(lock, model) : [];
  const { printed, below } = pValuesPrinted(model);
  const primary = study.endpoints.find(({ id }) => id === study.primary?.endpoint);
  return [
    h("p", {}, lockWords(model)),
    lock && h("p", {}, "SHA-256 of the plan: ", h("code.hash", {}, lock.planSha256), "."),
    lock &&
    (changes.length === 0 ? h("p", {}, "Nothing of the plan or the files has changed since.") : [
      h("p", {}, "Changed since:"),
      h("ul", {}, changes.map((line) => h("li", {}, line))),
    ]),
    h(
      "p",
      {},
      primary && study.primary
        ? `Primary endpoint: ${sentence(primary.label)} ${sentence(study.primary.rest)} `
        : "The plan names no primary endpoint: none comes before another, and no result is more " +
          "than a description. ",
      `The tables print ${formatNumber(printed)} p values, ${formatNumber(below)} of them below ` +
        `0.05${
          printed < 20
            ? ""
            : `; were nothing there, chance alone would put about ${
              formatNumber(0.05 * printed, { digits: 0 })
            } there`
        }. None is adjusted for their number.`,
    ),
  ];
}

function changesSince(lock: PlanLock, { study, files, planSha256 }: ReportModel): string[] {
  const differences = planDifferences(lock.plan, JSON.parse(JSON.stringify(publishedPlan(study))));
  const unseen = differences.length === 0 && lock.planSha256 !== planSha256;
  return [
    ...(unseen
      ? ["The plan, in what is not published: codes of people, or where its files are."]
      : []),
    ...differences.map(({ field, a, b }) =>
      a === null
        ? `${fieldWords(field)}: added, “${b}”.`
        : b === null
        ? `${fieldWords(field)}: taken out; it was “${a}”.`
        : `${fieldWords(field)}: was “${a}”, is now “${b}”.`
    ),
    ...files.flatMap(({ role, sha256 }) => {
      const before = lock.files[role];
      return before === undefined || before === sha256 ? [] : [`The ${role} file has changed.`];
    }),
  ];
}

/** A field of the plan as words: `mainHorizon` as “main horizon”. */
function fieldWords(field: string): string {
  const words = field.split(".").map((part) =>
    part.replace(/([a-z])([A-Z])/g, "$1 $2").replace(/_/g, " ").toLowerCase()
  ).join(", ");
  return capitalized(words);
}

/** How many p values the tables print, and how many are below 0.05. */
export function pValuesPrinted({ items }: Pick<ReportModel, "items">): {
  printed: number;
  below: number;
} {
  let [printed, below] = [0, 0];
  for (const { item } of items.tables) {
    for (const column of item.columns.filter((one) => kindOf(item, one) === "pvalue")) {
      for (const row of item.rows) {
        const value = row[column.key];
        if (typeof value !== "number") continue;
        printed++;
        if (value < 0.05) below++;
      }
    }
  }
  return { printed, below };
}

function day(time: string): string {
  return new Date(time).toLocaleDateString("en-GB", {
    day: "numeric",
    month: "long",
    year: "numeric",
    timeZone: "UTC",
  });
}
