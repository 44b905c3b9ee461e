import { boundedCount, isSmall, publishableKinds } from "../../disclosure/mod.ts";
import { formatPercent, roundTo } from "../../words/mod.ts";
import {
  type HardestType,
  hardestTypes,
  isWithheld,
  profilesOf,
  type ProgrammeComplexity,
  type Withheld,
} from "../../programme/analyses/mod.ts";
import type { ProgrammeOperations } from "../../programme/operations/mod.ts";
import { sharesByType } from "../../programme/complexity/mod.ts";
import { type DisplayTable, type Remark, say, table } from "../show/mod.ts";
import { correctedTable } from "../valve-tables/mod.ts";
import { proportionInterval } from "../../regression/rates/mod.ts";
import {
  hiddenShares,
  inWholePercent,
  limitCells,
  limitColumns,
  shareText,
  type ShownFrom,
  wholePercent,
} from "./rates.ts";
import type { TableHeading } from "../items/mod.ts";

/** What makes a repair hard, and its points: to be added up by hand. */
export function complexityTable(
  heading: TableHeading,
  complexity: ProgrammeComplexity | Withheld,
  { smallestCell }: { smallestCell: number },
): DisplayTable | Remark {
  if (isWithheld(complexity)) return say(complexity.why);
  return table({
    ...heading,
    columns: [
      { key: "item", label: "Where this is so", kind: "text" },
      { key: "n", label: "Patients", kind: "number" },
      { key: "points", label: "Points", kind: "number" },
    ],
    rows: complexity.score.items.map(({ name, n, points }) => ({
      item: name,
      n: boundedCount(n, smallestCell),
      points,
    })),
  });
}

/** What a sum of points means: the share that left without a repair, as the score predicts it. */
export function pointsTable(
  heading: TableHeading,
  complexity: ProgrammeComplexity | Withheld,
  { smallestCell, confidence }: ShownFrom,
): DisplayTable | Remark {
  if (isWithheld(complexity)) return say(complexity.why);
  const { table: sums } = complexity.score;
  const whole = sums.reduce((all, { n }) => all + n, 0);
  const counts = publishableKinds(sums.map(({ n }) => n), { whole, smallestCell });
  return table({
    ...heading,
    columns: [
      { key: "points", label: "Points together", kind: "number" },
      { key: "n", label: "Patients", kind: "number" },
      ...limitColumns("Predicted without a repair", confidence),
    ],
    rows: sums.map(({ points, risk }, k) => ({
      points,
      n: counts[k]!,
      ...limitCells(risk, typeof counts[k] === "number"),
    })),
  });
}

/** What share of the replacements the hardest fifth of patients accounts for. */
export function concentrationSentence(complexity: ProgrammeComplexity | Withheld): string {
  if (isWithheld(complexity)) return complexity.why;
  return `The fifth of patients with the hardest valves, ranked by scores made without them, ` +
    `account for ${shareText(complexity.concentration.at(0.2))} of the valves not repaired. ` +
    `A fifth accounting for 70% is often quoted (common practice, no source).`;
}

/** How good the score is, as it looks on its own patients and corrected for that. */
export function scoreQualityTable(
  heading: TableHeading,
  complexity: ProgrammeComplexity | Withheld,
): DisplayTable | Remark {
  if (isWithheld(complexity)) return say(complexity.why);
  const { area, slope, intercept } = complexity.quality;
  return correctedTable(heading, [
    { measure: "c-statistic", ...area },
    { measure: "Calibration slope (1 is right)", ...slope },
    { measure: "Calibration intercept (0 is right)", ...intercept },
  ]);
}

/**
 * The kinds of patients that make the hardest fifth; those with few in it, or out of it, together.
 */
export function hardestTable(
  heading: TableHeading,
  operations: ProgrammeOperations,
  complexity: ProgrammeComplexity | Withheld,
  { smallestCell, confidence }: ShownFrom,
): DisplayTable | Remark {
  if (isWithheld(complexity)) return say(complexity.why);
  const types = publishableTypes(hardestTypes(operations, complexity), smallestCell);
  if (types.length < 2) return say("Too few patients to tell the kinds of the hardest apart.");
  return table({
    ...heading,
    columns: [
      { key: "type", label: "Valve", kind: "text" },
      { key: "n", label: "Patients", kind: "number" },
      wholePercent("own", "Of the hardest fifth"),
      wholePercent("all", "Of all patients"),
      ...limitColumns("Of these, in the hardest fifth", confidence),
    ],
    rows: types.map(({ type, n, among, shareOfHardest, shareOfAll }) => ({
      type,
      n,
      own: roundTo(shareOfHardest, 2),
      all: roundTo(shareOfAll, 2),
      ...limitCells(inWholePercent(proportionInterval(among, n, { confidence })), true),
    })),
  });
}

/**
 * In words: the kinds that are commoner among the hardest fifth than among all, by how
 * many they are.
 */
export function hardestSentence(
  operations: ProgrammeOperations,
  complexity: ProgrammeComplexity | Withheld,
  { smallestCell }: { smallestCell: number },
): string {
  if (isWithheld(complexity)) return complexity.why;
  const percent = (share: number) => formatPercent(share, { digits: 0 });
  const types = publishableTypes(hardestTypes(operations, complexity), smallestCell);
  const commoner = types
    .filter(({ shareOfHardest, shareOfAll }) => shareOfHardest > 1.25 * shareOfAll).slice(0, 4);
  if (types.length < 2 || commoner.length === 0) {
    return "No kind of valve stands out in the hardest fifth.";
  }
  const parts = commoner.map(({ type, shareOfHardest, shareOfAll }) =>
    `${type} (${percent(shareOfHardest)} of that fifth, ${percent(shareOfAll)} of all patients)`
  );
  return `The kinds of valve that are commoner in the hardest fifth than among all patients: ` +
    `${parts.join("; ")}.`;
}

type CountedType = Omit<HardestType, "rate">;

/**
 * Kinds that may be told, the others as one: kinds with the fewest among the hardest are put
 * together until neither those in it nor those out of it are few.
 */
export function publishableTypes(
  types: readonly CountedType[],
  smallestCell: number,
): CountedType[] {
  const few = ({ n, among }: CountedType) =>
    isSmall(n, smallestCell) || isSmall(among, smallestCell) || isSmall(n - among, smallestCell);
  const left = types.toSorted((a, b) => b.among - a.among || b.n - a.n);
  let others: CountedType | undefined;
  while (left.some(few) || (others && few(others))) {
    const next = left.pop();
    if (!next) return [];
    others = {
      type: "all other kinds",
      n: next.n + (others?.n ?? 0),
      among: next.among + (others?.among ?? 0),
      shareOfHardest: next.shareOfHardest + (others?.shareOfHardest ?? 0),
      shareOfAll: next.shareOfAll + (others?.shareOfAll ?? 0),
    };
  }
  return others ? [...left, others] : left;
}

/** Kinds of patients by the share of all valves not repaired that is theirs. */
export function typesTable(
  heading: TableHeading,
  operations: ProgrammeOperations,
  { smallestCell, confidence }: ShownFrom,
): DisplayTable | Remark {
  const outcome = operations.repaired.map((value) => 1 - value);
  if (!outcome.includes(1)) return say("Every valve was repaired.");
  const types = sharesByType({ outcome, type: profilesOf(operations.analysis) }, { confidence });
  const counts = publishableKinds(types.map(({ n }) => n), { whole: operations.n, smallestCell });
  const hidden = hiddenShares(
    types.map(({ n, events }) => ({ n, repaired: n - events })),
    smallestCell,
  );
  return table({
    ...heading,
    columns: [
      { key: "type", label: "Valve", kind: "text" },
      { key: "n", label: "Patients", kind: "number" },
      wholePercent("own", "Of all valves not repaired, about"),
      ...limitColumns("Not repaired", confidence),
    ],
    rows: types.map(({ type, shareOfEvents, rate }, k) => {
      const shown = !hidden.has(k) && typeof counts[k] === "number";
      return {
        type: String(type),
        n: counts[k]!,
        // closer, these would tell together how many valves were not repaired
        own: shown ? roundTo(20 * shareOfEvents, 0) / 20 : null,
        ...limitCells(inWholePercent(rate), shown),
      };
    }),
  });
}
