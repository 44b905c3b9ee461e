import {
  type HeldMix,
  type HeldQuantity,
  limitsHeld,
  soundTo,
} from "../../sensitivity/calibrated/mod.ts";
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
  subgroup: "weighted",
  "against the rest": "weighted",
  shrunken: "weighted, drawn towards the mean of populations",
};

/** Sides of a subgroup, as part of a line's name. */
const sidesOf: Record<string, string> = {
  inside: "yes",
  outside: "no",
  "inside - outside": "yes minus no",
};

/** What one line tells: what lies between two groups, and each of them. */
interface Line {
  between?: HeldQuantity;
  repair?: HeldQuantity;
  replacement?: HeldQuantity;
}

/**
 * Of each quantity that the report used, in how many simulated cohorts with known answers limits
 * like its own held the truth, and what was not measured.
 */
export function limitsHeldTree(model: ReportModel): Content {
  const mixes = limitsHeld();
  const lines = linesOf((mixes[0]?.quantities ?? []).filter((row) => isUsed(row, model)));
  if (lines.length === 0) return h("p", {}, "Nothing that this report prints was measured.");
  const { groups } = model.study;
  const sides = ["between", "repair", "replacement"] as const;
  return [
    h(
      "p",
      {},
      `In simulated cohorts with known answers, 95% limits should hold the truth in 95 of 100. ${
        listText(mixes.map(({ about, cohorts }) => `${cohorts} cohorts had ${about}`))
      }; the second number of each cell is of the latter. “Too seldom” is below 95% by more than ` +
        "three Monte-Carlo errors: such limits are too narrow there, mostly because events were " +
        "few. Weights were those of the overlap.",
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
            ["Quantity", "Years", "Difference or ratio", groups.repair, groups.replacement].map(
              (label) => h("th", { scope: "col" }, label),
            ),
          ),
        ),
        h(
          "tbody",
          {},
          lines.map((line) => {
            const row = (line.between ?? line.repair ?? line.replacement)!;
            return h(
              "tr",
              {},
              h("th", { scope: "row" }, nameOf(row, model)),
              h("td", {}, row.time === 0 ? "" : String(row.time)),
              sides.map((side) => h("td", {}, line[side] ? heldIn(line[side], mixes) : "")),
            );
          }),
        ),
      ),
    ),
    h("p", {}, notMeasured(lines, model)),
  ];
}

function heldIn(row: HeldQuantity, mixes: readonly HeldMix[]): string {
  return mixes.map(({ quantities }) => {
    const own = quantities.find((one) => isSame(one, row));
    if (!own) return "not measured";
    return `${formatNumber(100 * own.coverage, { digits: 1 })}%${
      own.tooSeldom ? " (too seldom)" : ""
    }`;
  }).join("; ");
}

/** One line a quantity at one time; pairs of techniques have a line each. */
function linesOf(rows: readonly HeldQuantity[]): Line[] {
  const lines = new Map<string, Line>();
  for (const row of rows) {
    const side = row.of === "repair" || row.of === "replacement" ? row.of : "between";
    const pair = side === "between" && row.of !== "repair - replacement" ? row.of : "";
    const key = [row.quantity, row.design, row.population, row.time, pair].join("|");
    lines.set(key, { ...lines.get(key), [side]: row });
  }
  return [...lines.values()];
}

function notMeasured(lines: readonly Line[], { study }: ReportModel): string {
  const known = new Set(
    lines.flatMap((line) => Object.values(line).map(({ quantity }) => quantity)),
  );
  const endpoints = study.endpoints.filter(({ id }) => !known.has(id)).map(({ label }) => label);
  const own = endpoints.length > 0 ? `${listText(endpoints)}; ` : "";
  return `Not measured in such cohorts: ${own}odds ratios, curves ` +
    "against a measurement, and measurements after operation. Rates of the programme and of its " +
    "surgeons were measured in simulated programmes of their own.";
}

function isSame(one: HeldQuantity, other: HeldQuantity): boolean {
  return one.quantity === other.quantity && one.design === other.design &&
    one.population === other.population && one.of === other.of && one.time === other.time;
}

/**
 * At the plan's times, of its endpoints, in its populations and comparisons; shares at visits as
 * far as they are shown, and late rates.
 */
function isUsed(row: HeldQuantity, { study }: ReportModel): boolean {
  const counting = (["on-schedule", "by-visit-rate"] as const).find((one) =>
    row.quantity === `leak among the living, ${one}`
  );
  if (counting) return row.time <= soundTo(counting).years;
  const whose = row.design === "arms"
    ? study.comparisons
    : row.design === "subgroup"
    ? study.thresholds
    : study.populations;
  const known = row.population === "everyone" || whose.some(({ id }) => id === row.population);
  const times = [0, ...study.horizons, study.restrictedMeanHorizon];
  const isEndpoint = study.endpoints.some(({ id }) => id === row.quantity);
  return known && times.includes(row.time) &&
    (isEndpoint || /^(log |years |late rate|ratio )/.test(row.quantity));
}

function nameOf(row: HeldQuantity, { study }: ReportModel): string {
  const endpoint = study.endpoints.find(({ id }) => id === row.quantity);
  const whose = [...study.populations, ...study.comparisons, ...study.thresholds].find(({ id }) =>
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
    : row.of in sidesOf && row.design !== "shrunken"
    ? `: ${sidesOf[row.of]}`
    : "";
  const name = endpoint?.label ?? row.quantity.replace(/^./, (letter) => letter.toUpperCase());
  return `${name}, ${designs[row.design] ?? row.design}${where}${pair}`;
}
