import { boundedCount, publishableKinds } from "../../disclosure/mod.ts";
import {
  isWithheld,
  profilesOf,
  type ProgrammeComplexity,
  type ProgrammeOperations,
  sharesByType,
  type Withheld,
} from "../../programme/mod.ts";
import { roundTo } from "../../words/mod.ts";
import { type DisplayTable, type Remark, say, table } from "../show/mod.ts";
import {
  type Heading,
  hiddenShares,
  inWholePercent,
  limitCells,
  limitColumns,
  shareText,
  wholePercent,
} from "./rates.ts";

interface Shown {
  smallestCell: number;
  confidence: number;
}

/** What makes a repair hard, and its points: to be added up by hand. */
export function complexityTable(
  heading: Heading,
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
  heading: Heading,
  complexity: ProgrammeComplexity | Withheld,
  { smallestCell, confidence }: Shown,
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

/** Kinds of patients by the share of all valves not repaired that is theirs. */
export function typesTable(
  heading: Heading,
  operations: ProgrammeOperations,
  { smallestCell, confidence }: Shown,
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
