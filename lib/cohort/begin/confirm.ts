import { answerForCodes, partsOf, unquoted } from "./answers.ts";
import type { AskedTable } from "./ask-table.ts";
import type { Decision } from "./consider/mod.ts";
import type { Outcome } from "./converse.ts";
import { type Conversation, headingId } from "./questions.ts";
import { meaningOf } from "./shown-heading.ts";

/**
 * The last question, put each time before anything is written: what each heading becomes.
 *
 * @returns Ids of what is to be asked again; none where the files may be written.
 */
export async function confirm(
  talk: Conversation,
  { study, needed, changed }: Outcome & { changed: readonly string[] },
  tables: readonly AskedTable[],
): Promise<string[]> {
  const known = idsByName(tables);
  const idsOf = (text: string) => partsOf(text).map((name) => known.get(unquoted(name)));
  const { name, timeZero } = study as { name: string; timeZero: { closingYear: number } };
  const answer = await talk.ask({
    id: "study.confirm",
    lines: [
      "Before anything is written: is this so?",
      ...tables.flatMap(tableLines),
      ...(changed.length > 0
        ? [
          "Of the study file, this stays as you changed it:",
          ...changed.map((one) => `    ${one}`),
        ]
        : []),
      `The study: ${name}; follow-up was last sought in ${timeZero.closingYear}`,
      ...(needed.length > 0
        ? [`The export has nothing for ${needed.join(", ")}: every row must have these`]
        : []),
    ],
    hint:
      '"write" writes the files; or name the headings to be asked about again, with ";" between them',
    proposal: "write",
    once: true,
    unasked: "write",
    form: {
      kind: "confirm",
      names: [...known.keys()].filter((key) => key.includes(".") && known.get(key)?.length === 1)
        .map((answer) => ({ answer, label: answer })),
    },
    wrong: (text) =>
      text === "write" || idsOf(text).every((ids) => ids !== undefined)
        ? null
        : "“write”, or headings as they are written above",
  });
  return answer === undefined || answer === "write"
    ? []
    : idsOf(answer).flatMap((ids) => ids ?? []);
}

function tableLines({ table, id, decided }: AskedTable): string[] {
  const of = (...kinds: Decision["as"][]) =>
    decided.filter(({ decision }) => kinds.includes(decision.as));
  const [mapped, dropped, open] = [of("column", "source"), of("ignore"), of("open")];
  const list = (found: AskedTable["decided"]) =>
    found.map(({ profile, decision }) => `    “${profile.heading}” ${becomes(decision)}`);
  return [
    `The ${table} table, ${decided.length + 1} headings:`,
    `  ${mapped.length + 1} are mapped:`,
    `    “${id}” -> id`,
    ...list(mapped),
    `  ${dropped.length} are dropped${dropped.length > 0 ? ":" : ""}`,
    ...list(dropped),
    `  ${open.length} are open${open.length > 0 ? ":" : ""}`,
    ...list(open),
  ];
}

function becomes(decision: Decision): string {
  if (decision.as === "ignore" || decision.as === "open") return `(${decision.why})`;
  if (decision.as === "source") return `-> ${meaningOf(decision)}`;
  const { columns, unit, codes = {}, others = {} } = decision;
  const [first = ""] = columns;
  // where a heading fills two columns, a value need not mean the same in both
  const all = Object.entries({ [first]: { codes }, ...others }).flatMap(([column, own]) => {
    const codes = Object.entries(own.codes);
    const rest = codes.length > mostCodes ? `; and ${codes.length - mostCodes} more` : "";
    const text = answerForCodes(Object.fromEntries(codes.slice(0, mostCodes))) + rest;
    return text === "" ? [] : [columns.length > 1 ? `${column}: ${text}` : text];
  });
  return `-> ${meaningOf(decision)}${unit ? ` in ${unit}` : ""}${
    all.length === 0 ? "" : ` (${all.join("; ")})`
  }`;
}

const mostCodes = 12;

/** Question ids by heading; a heading of both tables is asked about in both. */
function idsByName(tables: readonly AskedTable[]): Map<string, string[]> {
  const names = new Map<string, string[]>([
    ["study.name", ["study.name"]],
    ["study.closing-year", ["study.closing-year"]],
  ]);
  for (const { table, id, decided } of tables) {
    for (const heading of [id, ...decided.map(({ profile }) => profile.heading)]) {
      const ids = heading === id ? [`${table}.id`] : [headingId(table, heading)];
      names.set(`${table}.${heading}`, ids);
      names.set(heading, [...names.get(heading) ?? [], ...ids]);
    }
  }
  return names;
}
