import type { ReportModel } from "../model/mod.ts";
import { type Content, type Element, h } from "../tree/mod.ts";

/** The foot of every document: whose it is, and that it is about groups. */
export function footerTree({ study }: Pick<ReportModel, "study">, ...more: Content[]): Element {
  return h(
    "footer",
    {},
    h(
      "p",
      {},
      `${study.title}. ${study.centre}. Averages of groups, not advice for one patient.`,
      ...more,
    ),
  );
}
