import type { Figure } from "../../figures/drawing/mod.ts";
import { learningFigure } from "../../figures/programme/mod.ts";
import { boundedCount } from "../../disclosure/mod.ts";
import {
  isWithheld,
  type LearningOutcome,
  type ProgrammeLearning,
  type Withheld,
} from "../../programme/analyses/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { countText, formatNumber, formatP, levelText } from "../../words/mod.ts";
import { type DisplayTable, type Remark, say, table, type TableRow } from "../show/mod.ts";
import type { TableHeading } from "../items/mod.ts";

/** A learning curve with its plateau; a sentence where there are too few. */
export function programmeLearningFigure(
  heading: TableHeading & { yLabel: string },
  learning: ProgrammeLearning | Withheld,
): Figure | Remark {
  if (isWithheld(learning)) return say(learning.why);
  const { curve, plateau, kind } = learning;
  return learningFigure({
    ...heading,
    caption: [heading.caption ?? "", ...drawnOperations(learning)].join(" ").trim(),
    curve,
    ...(plateau.cases && { plateau: plateau.cases }),
    ...(kind === "amount" && { format: (value: number) => formatNumber(value, { digits: 0 }) }),
  });
}

/** What has to be said where operations were drawn. */
function drawnOperations({ n, of }: ProgrammeLearning): string[] {
  return of === undefined ? [] : [`${countText(n)} operations, drawn at random from all.`];
}

/** Each outcome beside experience: on how many it rests, whether it changes, and until when. */
export function learningTable(
  heading: TableHeading,
  outcomes: Partial<Record<LearningOutcome, ProgrammeLearning | Withheld>>,
  { smallestCell, confidence, horizons }: Pick<Study, "smallestCell" | "confidence" | "horizons">,
): DisplayTable {
  const first = Math.min(...horizons);
  const names: Record<LearningOutcome, string> = {
    conversion: "Repair given up",
    "clamp-time": "Clamp time",
    "residual-leak": "Leak of grade 2 or more left",
    "early-failure": `Failed within ${first === 1 ? "a year" : `${first} years`}`,
  };
  return table({
    ...heading,
    columns: [
      { key: "what", label: "Outcome", kind: "text" },
      { key: "n", label: "Operations", kind: "number" },
      { key: "events", label: "With the event", kind: "number" },
      { key: "surgeons", label: "Surgeons", kind: "number" },
      { key: "p", label: "p of no change", kind: "pvalue" },
      {
        key: "plateau",
        label: `Operations to the plateau, ${levelText(confidence)}`,
        kind: "text",
      },
    ],
    notes: [
      ...(heading.notes ?? []),
      ...new Set(
        Object.values(outcomes).flatMap((one) => isWithheld(one) ? [] : drawnOperations(one)),
      ),
    ],
    rows: Object.entries(outcomes).map(([outcome, learning]): TableRow => {
      const what = names[outcome as LearningOutcome];
      if (isWithheld(learning)) {
        return { what, n: null, events: null, surgeons: null, p: null, plateau: learning.why };
      }
      const { n, events, surgeons, plateau: { cases, test } } = learning;
      return {
        what,
        n: boundedCount(n, smallestCell),
        events: events === undefined ? null : boundedCount(events, smallestCell),
        surgeons,
        p: test.pValue,
        plateau: cases
          ? `${formatNumber(cases.estimate, { digits: 0 })} (${rangeOf(cases)})`
          : "none seen",
      };
    }),
  });
}

/** "31 to 65", or as far as the data bound it. */
function rangeOf({ lower, upper }: { lower: number; upper: number }): string {
  const whole = (value: number) => formatNumber(value, { digits: 0 });
  return upper === Infinity ? `${whole(lower)} or more` : `${whole(lower)} to ${whole(upper)}`;
}

/** Whether learning is seen, and when it is over. */
export function learningSentence(learning: ProgrammeLearning | Withheld): string {
  if (isWithheld(learning)) return learning.why;
  const { plateau: { seen, cases, test }, surgeons } = learning;
  if (!seen || !cases) {
    return `Whether results change with experience is not settled (${
      formatP(test.pValue)
    }, ${surgeons} surgeons).`;
  }
  const whole = (value: number) => formatNumber(value, { digits: 0 });
  const range = cases.upper === Infinity
    ? `${rangeOf(cases)}, with no upper limit that these data can give`
    : rangeOf(cases);
  return `Results change with experience (${formatP(test.pValue)}, ${surgeons} surgeons) until ` +
    `about ${whole(cases.estimate)} (${range}) operations; some fifty are often quoted (common ` +
    "practice, no source). The number supposes that what is left to learn falls in a straight line.";
}
