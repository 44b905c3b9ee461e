import type { CutReport } from "./cut-cohort.ts";

/**
 * What is wrong with a report and with what was said of the files beforehand; empty where nothing
 * is.
 *
 * What `validate` passes, the report can do: a notebook may stop only where validation has said
 * that there is nothing to compare, a report may be refused only where validation stops too, and a
 * population has a number in the grid where validation foretold one, and only there.
 *
 * @param options.mustNotSay Words that would contradict the plan.
 */
export function judge(
  report: Omit<CutReport, "validation"> & {
    validation: {
      groups: readonly { severity: string; message: string }[];
      foretold: readonly { verdict: string; where: string; found: string }[];
    };
  },
  { mustNotSay }: { mustNotSay?: RegExp } = {},
): string[] {
  const { validation: { groups, foretold }, refused, failures, contradictions, text } = report;
  const stops = groups.filter(({ severity }) => severity === "structural");
  if (stops.length > 0) {
    const reasons = stops.map(({ message }) => message).join("; ");
    return refused || failures.length > 0
      ? []
      : [`validation refuses what the report can do: ${reasons}`];
  }
  if (refused) return [`validation passes, and there is no report: ${refused}`];
  const nothingToCompare = foretold.some(({ where, verdict }) =>
    where === "groups" && verdict === "absent"
  );
  const said = mustNotSay?.exec(text);
  return [
    ...(nothingToCompare ? [] : failures.map((line) => `not foretold: ${line}`)),
    ...contradictions,
    ...(report.hasGrid ? populationDefects(report.answered, foretold) : []),
    ...(said ? [`says “${said[0]}”`] : []),
  ];
}

/** Populations with a number that was not foretold, or without one that was. */
function populationDefects(
  answered: readonly number[],
  foretold: readonly { verdict: string; where: string; found: string }[],
): string[] {
  return foretold.flatMap(({ where, verdict, found }) => {
    const place = /^populations\[(\d+)\]$/.exec(where)?.[1];
    if (place === undefined) return [];
    const has = answered.includes(Number(place));
    if (has === (verdict !== "absent")) return [];
    return [`${where} has ${has ? "a" : "no"} number, and was foretold ${verdict}: ${found}`];
  });
}
