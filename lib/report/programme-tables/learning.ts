import { type Figure, learningFigure } from "../../figures/mod.ts";
import { isWithheld, type ProgrammeLearning, type Withheld } from "../../programme/mod.ts";
import { formatNumber, formatP } from "../../words/mod.ts";
import { type Remark, say } from "../show/mod.ts";
import type { Heading } from "./rates.ts";

/** A learning curve with its plateau; a sentence where there are too few. */
export function programmeLearningFigure(
  heading: Heading & { yLabel: string },
  learning: ProgrammeLearning | Withheld,
): Figure | Remark {
  if (isWithheld(learning)) return say(learning.why);
  const { curve, plateau, kind } = learning;
  return learningFigure({
    ...heading,
    curve,
    ...(plateau.cases && { plateau: plateau.cases }),
    ...(kind === "amount" && { format: (value: number) => formatNumber(value, { digits: 0 }) }),
  });
}

/** Whether learning is seen, and when it is over. */
export function learningSentence(learning: ProgrammeLearning | Withheld): string {
  if (isWithheld(learning)) return learning.why;
  const { plateau: { seen, cases, test }, surgeons } = learning;
  if (!seen || !cases) {
    return `No change with experience is seen over ${surgeons} surgeons (${
      formatP(test.pValue)
    }); ` +
      "that is not to say that there is none.";
  }
  const whole = (value: number) => formatNumber(value, { digits: 0 });
  const range = cases.upper === Infinity
    ? `${whole(cases.lower)} or more, with no upper limit that these data can give`
    : `${whole(cases.lower)} to ${whole(cases.upper)}`;
  return `Results change with experience (${formatP(test.pValue)}, ${surgeons} surgeons) until ` +
    `about ${whole(cases.estimate)} (${range}) operations; some fifty are often quoted (common ` +
    "practice, no source). The number supposes that what is left to learn falls in a straight line.";
}
