import { isWithheld, type Withheld } from "../../programme/analyses/mod.ts";
import type { SurgeonAnswers } from "../../programme/surgeon/mod.ts";
import { levelText } from "../../words/mod.ts";
import { type DisplayTable, type Remark, say, table } from "../show/mod.ts";
import type { TableHeading } from "../items/mod.ts";

/** The comparison with patients on their own, and with those of one surgeon kept together. */
export function surgeonAnswersTable(
  heading: TableHeading,
  answers: SurgeonAnswers | Withheld,
  { confidence }: { confidence: number },
): DisplayTable | Remark {
  if (isWithheld(answers)) return say(answers.why);
  const { patients, clustered, mixed, warnings } = answers;
  const per100 = ({ estimate, lower, upper }: SurgeonAnswers["patients"]) => ({
    estimate: 100 * estimate,
    lower: 100 * lower,
    upper: 100 * upper,
  });
  const number = { kind: "number", digits: 1 } as const;
  return table({
    ...heading,
    ...(warnings.length > 0 && { notes: warnings }),
    columns: [
      { key: "way", label: "Way", kind: "text" },
      { key: "quantity", label: "Quantity", kind: "text" },
      { key: "estimate", label: "Estimate", ...number },
      { key: "lower", label: `${levelText(confidence)} from`, ...number },
      { key: "upper", label: "to", ...number },
    ],
    rows: [
      {
        way: "Patients on their own, as planned",
        quantity: "difference in survival per 100",
        ...per100(patients),
      },
      {
        way: "Those of one surgeon kept together",
        quantity: "difference in survival per 100",
        ...per100(clustered),
      },
      {
        way: "A level of each surgeon's own in the model",
        quantity: "odds ratio of death, repair over replacement",
        estimate: mixed?.oddsRatio ?? null,
        lower: mixed?.lower ?? null,
        upper: mixed?.upper ?? null,
      },
    ],
  });
}
