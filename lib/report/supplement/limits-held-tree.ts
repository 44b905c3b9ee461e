import { type HeldQuantity, limitsHeld } from "../../sensitivity/calibrated/mod.ts";
import { formatNumber, listText } from "../../words/mod.ts";
import type { ReportModel } from "../model/mod.ts";
import { scrolling } from "../page/mod.ts";
import { type Content, h } from "../tree/mod.ts";

const designs: Record<string, string> = {
  weighted: "weighted",
  matched: "matched pairs",
  standardised: "regression, standardised",
  "doubly robust": "doubly robust",
  arms: "weighted, between techniques",
  unadjusted: "without adjustment",
};

/**
 * Of each quantity that the report used, in how many simulated cohorts with known answers limits like
 * its own held the truth.
 */
export function limitsHeldTree(model: ReportModel): Content {
  const mixes = limitsHeld();
  const rows = (mixes[0]?.quantities ?? []).filter((row) => isUsed(row, model));
  if (rows.length === 0) return h("p", {}, "Nothing that this report prints was measured.");
  const percent = (row: HeldQuantity | undefined): Content =>
    row === undefined
      ? "not measured"
      : `${formatNumber(100 * row.coverage, { digits: 1 })}%${row.tooSeldom ? ", too seldom" : ""}`;
  return [
    h(
      "p",
      {},
      `In simulated cohorts with known answers, 95% limits should hold the truth in 95 of 100. ${
        listText(mixes.map(({ about, cohorts }) => `${cohorts} cohorts had ${about}`))
      }. “Too seldom” is below 95% by more than three Monte-Carlo errors: such limits are too ` +
        "narrow there, mostly because events were few. Weights were those of the overlap.",
    ),
    scrolling(
      "How often limits held the truth",
      h(
        "table",
        {},
        h(
          "thead",
          {},
          h(
            "tr",
            {},
            ["Quantity", "Years", "Like the demonstration", "Harder"].map((label) =>
              h("th", { scope: "col" }, label)
            ),
          ),
        ),
        h(
          "tbody",
          {},
          rows.map((row) =>
            h(
              "tr",
              {},
              h("th", { scope: "row" }, nameOf(row, model)),
              h("td", {}, row.time === 0 ? "" : String(row.time)),
              mixes.map(({ quantities }) =>
                h("td", {}, percent(quantities.find((one) => isSame(one, row))))
              ),
            )
          ),
        ),
      ),
    ),
  ];
}

function isSame(one: HeldQuantity, other: HeldQuantity): boolean {
  return one.quantity === other.quantity && one.design === other.design &&
    one.population === other.population && one.of === other.of && one.time === other.time;
}

/** Differences and ratios at the plan's times, of its endpoints, in its populations and comparisons. */
function isUsed(row: HeldQuantity, { study }: ReportModel): boolean {
  if (row.of === "repair" || row.of === "replacement") return false;
  const whose = row.design === "arms" ? study.comparisons : study.populations;
  const known = row.population === "everyone" || whose.some(({ id }) => id === row.population);
  const times = [0, ...study.horizons, study.restrictedMeanHorizon];
  const isEndpoint = study.endpoints.some(({ id }) => id === row.quantity);
  return known && times.includes(row.time) &&
    (isEndpoint || /^(log |years )/.test(row.quantity));
}

function nameOf(row: HeldQuantity, { study }: ReportModel): string {
  const endpoint = study.endpoints.find(({ id }) => id === row.quantity);
  const whose = [...study.populations, ...study.comparisons].find(({ id }) =>
    id === row.population
  );
  const where = row.population === "everyone" ? "" : `; ${whose?.label ?? row.population}`;
  const arms = study.comparisons.find(({ id }) => id === row.population)?.arms ?? [];
  const pair = row.design === "arms"
    ? `: ${
      row.of.split(" - ").map((id) => arms.find((arm) => arm.id === id)?.label ?? id).join(
        " minus ",
      )
    }`
    : "";
  const name = endpoint?.label ?? row.quantity.replace(/^./, (letter) => letter.toUpperCase());
  return `${name}, ${designs[row.design] ?? row.design}${where}${pair}`;
}
