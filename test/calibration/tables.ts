import type { DatingPerformance } from "./visits/dating.ts";
import type { DesignName, QuantityName } from "./estimates.ts";
import type { Performance } from "./summary.ts";

const designs: Record<DesignName, string> = {
  unadjusted: "Unadjusted",
  matched: "Matched, descending",
  matchedAsIndependent: "Matched, descending, pairs ignored",
  matchedClosest: "Matched, closest pairs first",
  overlap: "Weighted, overlap",
  everyone: "Weighted, everyone",
  treated: "Weighted, treated",
  overlapTrueScore: "Overlap, true score",
  everyoneTrueScore: "Everyone, true score",
  overlapStandardized: "Regression, standardised, overlap",
  overlapDoublyRobust: "Doubly robust, overlap",
  everyoneStandardized: "Regression, standardised, everyone",
  everyoneDoublyRobust: "Doubly robust, everyone",
};

const dating: Record<DatingPerformance["method"], string> = {
  "interval-censored": "Between visits, death rates estimated",
  "death-rate-held": "Between visits, death rates held equal",
  "date-found": "Date found",
  "midpoint": "Midpoint of the visits",
  "last-clear-visit": "Last clear visit",
  "ignoring-death": "Date found, deaths censored",
  "no-unseen-recurrence": "Bound: no death hid one",
  "every-death-unseen-recurrence": "Bound: every unseen death hid one",
};

/** Performance of one quantity, one line an estimator and horizon; numbers times `scale`. */
export function performanceTable(
  rows: Performance[],
  quantity: QuantityName,
  { scale, digits }: { scale: number; digits: number },
): string {
  const chosen = rows.filter((row) => row.quantity === quantity);
  const withTime = new Set(chosen.map((row) => row.time)).size > 1;
  const number = (value: number) => signed(scale * value, digits);
  const header = [
    "Estimator",
    ...(withTime ? ["Years"] : []),
    "Truth",
    "Mean",
    "Bias ± MC",
    "SD",
    "Mean SE",
    "Coverage, % ± MC",
    "of own mean, %",
  ];
  return table(
    header,
    chosen.map((row) => [
      labelOf(row),
      ...(withTime ? [String(row.time)] : []),
      number(row.truth),
      number(row.mean),
      `${number(row.bias)} ± ${(scale * row.biasError).toFixed(digits)}`,
      (scale * row.empirical).toFixed(digits),
      (scale * row.estimated).toFixed(digits),
      `${percent(row.coverage)} ± ${percent(row.coverageError)}`,
      percent(row.coverageOfMean),
    ]),
  );
}

/** What the designs of a study give at one horizon, per 100 patients. */
export function mainTable(rows: Performance[], time: number): string {
  const quantities: [QuantityName, string][] = [
    ["survival", "Alive"],
    ["recurrenceFound", "Recurrence found"],
    ["reoperation", "Reoperation"],
  ];
  const hundred = (value: number) => signed(100 * value, 2);
  return table(
    [
      `${time} years after operation, difference per 100`,
      "Truth",
      "Mean",
      "Bias ± MC",
      "SD",
      "Mean SE",
      "Coverage, % ± MC",
    ],
    quantities.flatMap(([quantity, label]) =>
      rows.filter((row) =>
        row.quantity === quantity && row.time === time && row.target !== "unadjusted" &&
        !row.design.endsWith("TrueScore")
      ).map((row) => [
        `${label}: ${labelOf(row).toLowerCase()}`,
        hundred(row.truth),
        hundred(row.mean),
        `${hundred(row.bias)} ± ${hundred(row.biasError)}`,
        hundred(row.empirical),
        hundred(row.estimated),
        `${percent(row.coverage)} ± ${percent(row.coverageError)}`,
      ])
    ),
  );
}

/** Ways of dating a recurrence against its true onset, per 100 patients. */
export function datingTable(rows: DatingPerformance[]): string {
  const hundred = (value: number) => (100 * value).toFixed(1);
  return table(
    ["Recurrence dated by", "Years", "True onset", "Truly found", "Mean", "Bias ± MC", "SD"],
    rows.map((row) => [
      dating[row.method],
      String(row.time),
      hundred(row.onset),
      hundred(row.found),
      hundred(row.mean),
      `${signed(100 * row.bias, 2)} ± ${(100 * row.biasError).toFixed(2)}`,
      hundred(row.empirical),
    ]),
  );
}

function labelOf({ design, target }: Performance): string {
  const label = designs[design];
  if (design !== "unadjusted") return label;
  return target === "everyone" ? `${label}, against everyone` : `${label}, against its own limit`;
}

/** Padded as the formatter pads tables. */
export function table(header: string[], rows: string[][]): string {
  const widths = header.map((_, i) =>
    Math.max(3, ...[header, ...rows].map((row) => row[i]!.length))
  );
  const pad = (cell: string, i: number) =>
    i === 0 ? cell.padEnd(widths[i]!) : cell.padStart(widths[i]!);
  const rule = widths.map((width, i) => i === 0 ? "-".repeat(width) : `${"-".repeat(width - 1)}:`);
  return [header.map(pad), rule, ...rows.map((row) => row.map(pad))]
    .map((cells) => `| ${cells.join(" | ")} |`).join("\n");
}

function percent(share: number): string {
  return (100 * share).toFixed(1);
}

/** With a true minus sign; 0 without one. */
export function signed(value: number, digits: number): string {
  const text = value.toFixed(digits);
  return Number(text) === 0 ? (0).toFixed(digits) : text.replace("-", "−");
}

/** Breaks each line of prose at 100 characters as the formatter does; tables stay as they are. */
export function wrapped(text: string): string {
  return text.split("\n").map((line) => {
    if (line.startsWith("|")) return line;
    const indent = line.startsWith("- ") ? "  " : "";
    const lines: string[] = [];
    let current = "";
    // code stays in one piece
    for (const word of line.match(/(?:`[^`]*`|[^ ])+/g) ?? []) {
      if (current !== "" && `${current} ${word}`.length > 100) {
        lines.push(current);
        current = indent + word;
      } else current = current === "" ? word : `${current} ${word}`;
    }
    return [...lines, current].join("\n");
  }).join("\n");
}
