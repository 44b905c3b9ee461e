import { basename, dirname } from "node:path";
import { parseArgs } from "node:util";
import { profileColumns } from "./column-profile.ts";
import type { TableName } from "./dictionary.ts";
import { formatInWords } from "./file-format.ts";
import { type MappingProposal, proposeMapping } from "./propose-mapping.ts";
import { looksLikeColumnName } from "./suspicion.ts";

const usage = `Proposes how the columns of a file become those of the dictionary.

  deno task map --cohort FILE [--visits FILE] [--out FILE]

  --cohort FILE     patients table: CSV or XLSX, either with gzip
  --visits FILE     echo visits table
  --sheet NAME      sheet of the patients' workbook (default: the first)
  --visits-sheet NAME   sheet of the visits' workbook (default: the first)
  --out FILE        where the proposal goes (default: out/mapping.json)

The proposal is a draft of the study file's "mapping". Nothing uses it until a person has read it,
corrected it and copied it there.
`;

type Entry = string | Record<string, unknown>;

/** A proposal as the study file's mapping has it; a heading that could be a value is left out. */
export function mappingFragment({ proposed }: MappingProposal): Record<string, Entry> {
  return Object.fromEntries(
    proposed.filter(({ heading, column, unit, codes, missing }) =>
      looksLikeColumnName(heading) && (heading !== column || unit || codes || missing)
    ).map(({ heading, column, unit, codes, missing }): [string, Entry] => [
      heading,
      unit || codes || missing
        ? {
          column,
          ...(unit ? { unit } : {}),
          ...(codes ? { codes } : {}),
          ...(missing ? { missing } : {}),
        }
        : column,
    ]),
  );
}

/** A proposal in lines to be read, the least certain first. */
export function proposalLines({ proposed, unmatched, absent }: MappingProposal): string[] {
  const lines = [...proposed].sort((a, b) => a.confidence - b.confidence).map((one) =>
    `  ${one.confidence.toFixed(2)}  ${shown(one.heading)} -> ${one.column}` +
    `${one.unit ? ` (from ${one.unit})` : ""}${one.codes ? " (recoded)" : ""}: ` +
    one.reasons.join("; ")
  );
  const left = unmatched.map(({ heading, note }) => `  ----  ${shown(heading)}: ${note}`);
  const gone = absent.length > 0 ? [`  not found: ${absent.join(", ")}`] : [];
  return [...lines, ...left, ...gone];
}

function shown(heading: string): string {
  return looksLikeColumnName(heading) ? `"${heading}"` : "a column whose name is not shown";
}

async function main(args: readonly string[]): Promise<number> {
  let values;
  try {
    values = parseArgs({
      args: args.filter((arg) => arg !== "--"),
      options: {
        cohort: { type: "string" },
        visits: { type: "string" },
        sheet: { type: "string" },
        "visits-sheet": { type: "string" },
        out: { type: "string", default: "out/mapping.json" },
        help: { type: "boolean", short: "h" },
      },
    }).values;
  } catch (error) {
    console.error(`${error instanceof Error ? error.message : "Wrong options"}\n\n${usage}`);
    return 2;
  }
  if (values.help || (!values.cohort && !values.visits)) {
    console.log(usage);
    return values.help ? 0 : 2;
  }
  const mapping: Record<TableName, Record<string, Entry>> = { patients: {}, visits: {} };
  const files: [TableName, string | undefined, string | undefined][] = [
    ["patients", values.cohort, values.sheet],
    ["visits", values.visits, values["visits-sheet"]],
  ];
  for (const [table, path, sheet] of files) {
    if (path === undefined) continue;
    const { columns, rows, format, fault } = await profileColumns(path, { sheet });
    if (fault) {
      console.error(`Cannot read ${basename(path)}: ${fault.message}; ${fault.remedy}`);
      return 2;
    }
    const proposal = proposeMapping(table, columns);
    mapping[table] = mappingFragment(proposal);
    console.log(`${basename(path)}: ${rows} rows; ${format ? formatInWords(format) : ""}`);
    for (const line of proposalLines(proposal)) console.log(line);
  }
  try {
    await Deno.mkdir(dirname(values.out), { recursive: true });
    await Deno.writeTextFile(values.out, JSON.stringify({ mapping }, null, 2) + "\n");
  } catch {
    console.error(`Cannot write ${values.out}`);
    return 2;
  }
  console.log(`\nA draft, to be read and corrected: ${values.out}`);
  return 0;
}

if (import.meta.main) {
  let code = 2;
  try {
    code = await main(Deno.args);
  } catch {
    console.error("Cannot propose a mapping: the file could not be read");
  }
  Deno.exit(code);
}
