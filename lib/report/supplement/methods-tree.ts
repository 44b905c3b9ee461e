import { lockTree } from "../lock/mod.ts";
import type { ReportModel } from "../model/mod.ts";
import { type Content, h } from "../tree/mod.ts";
import { hasMapping, mappingTree } from "./mapping-section.ts";
import { deviationsTree, methodsRunTree, worksTree } from "./methods-section.ts";
import { planLines } from "./plan-section.ts";
import { targetTrialTree } from "./target-trial.ts";

/** The plan, the methods used, departures and references. */
export function methodsTree(model: ReportModel): Content {
  const { study } = model;
  return [
    h("h3#plan", {}, "The plan"),
    h(
      "p",
      {},
      "What follows is the study file, written out. A result it asked for is marked ",
      h("span.badge.planned", {}, "planned"),
      ", any other ",
      h("span.badge.exploratory", {}, "exploratory"),
      ".",
    ),
    h(
      "dl.protocol",
      {},
      planLines(study).map(([term, text, id]) =>
        h("div", { id }, h("dt", {}, term), h("dd", {}, text))
      ),
    ),
    h("h3#plan-lock", {}, "When the plan was fixed, and how many tests there are"),
    lockTree(model),
    h("h3#target-trial", {}, "The target trial"),
    h(
      "p",
      {},
      "A randomised trial would answer the question. Written out beside it, part by part, is what a " +
        "cohort can do instead (Hernán and Robins, Am J Epidemiol 2016;183:758-764); where the two " +
        "differ is where bias can come in.",
    ),
    targetTrialTree(study),
    hasMapping(study) && [
      h("h3#mapping", {}, "From the files’ columns to those analysed"),
      mappingTree(study),
    ],
    h("h3#methods-run", {}, "Methods used"),
    methodsRunTree(model),
    h("h3#deviations", {}, "Departures from the plan"),
    deviationsTree(model),
    h("h3#works", {}, "References"),
    worksTree(model),
  ];
}
