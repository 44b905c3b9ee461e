import { basename, dirname } from "node:path";
import { profileColumns, profileSheets, type TableProfile } from "./column-profile.ts";
import { commandLine, taskLine } from "../../study/command-line/mod.ts";
import type { TableName } from "../dictionary/mod.ts";
import { type FileFault, formatInWords } from "../file/mod.ts";
import { type MappingProposal, proposeMapping } from "./propose-mapping.ts";
import { matchSheets, proposeSheets, type SheetMatch } from "./sheets.ts";
import { looksLikeColumnName } from "../cells/mod.ts";

const usage = `Proposes how the columns of a file become those of the dictionary.

  deno task map --cohort FILE [--visits FILE] [--out FILE]

  --cohort FILE     patients table: CSV or XLSX, either with gzip
  --visits FILE     echo visits table
  --sheet NAME      sheet of the patients' workbook
  --visits-sheet NAME   sheet of the visits' workbook
  --out FILE        where the proposal goes (default: out/mapping.json)

Where a workbook has several sheets and none is named, every sheet is looked at: the output and the
proposal say which was taken for which table, and why, for you to confirm. Visits in another sheet
of the patients' workbook are found so, too.

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

/**
 * What is written for a person to read: parts of a study file, and what must be confirmed first.
 */
interface Draft {
  toConfirm?: string[];
  files?: { format: { cohort?: { sheet: string }; visits?: { sheet: string } } };
  mapping: Record<TableName, Record<string, Entry>>;
}

const bothTables: readonly TableName[] = ["patients", "visits"];

/** Adds one file's proposal to the draft and prints it. @returns Whether there is one. */
async function mapFile(
  draft: Draft,
  path: string,
  options: { table: TableName; wanted: readonly TableName[]; sheet?: string },
): Promise<boolean> {
  const { table, wanted, sheet } = options;
  const name = basename(path);
  const { tables, fault } = sheet === undefined
    ? await profileSheets(path)
    : await profileSheet(path, sheet);
  const [first] = tables;
  if (fault || !first) {
    const { message, remedy } = fault ?? { message: "it holds no table", remedy: "look at it" };
    console.error(`Cannot read ${name}: ${message}; ${remedy}`);
    return false;
  }
  if (tables.length === 1) {
    const proposal = proposeMapping(table, first.columns);
    takeTable(draft, first, proposal);
    console.log(`${name}: ${first.rows} rows; ${first.format ? formatInWords(first.format) : ""}`);
    for (const line of proposalLines(proposal)) console.log(line);
    return true;
  }
  const matches = matchSheets(tables);
  console.log(
    `${name}: a workbook of ${tables.length} sheets, none of them named; each as either table:`,
  );
  for (const line of sheetLines(matches)) console.log(line);
  const chosen = proposeSheets(matches);
  if (!chosen[table]) {
    console.error(`No sheet of ${name} is like the ${table} table: name it with ${flags[table]}`);
    return false;
  }
  for (const wantedTable of wanted) {
    const match = chosen[wantedTable];
    // a table that was not asked for must be there in full
    if (!match || (wantedTable !== table && match.proposal.absent.length > 0)) continue;
    const where = wantedTable === table ? "" : `, so that files.visits would name ${name} as well`;
    const text = `${sheetName(match.profile)} of ${name} was taken for the ${wantedTable} table ` +
      `(confidence ${match.confidence.toFixed(2)}: ${match.reason})${where}`;
    (draft.toConfirm ??= []).push(text);
    takeTable(draft, match.profile, match.proposal);
    console.log(`\nTO CONFIRM: ${text}; another is named with ${flags[wantedTable]}`);
    for (const line of proposalLines(match.proposal)) console.log(line);
  }
  return true;
}

const flags: Record<TableName, string> = { patients: "--sheet", visits: "--visits-sheet" };

async function profileSheet(
  path: string,
  sheet: string,
): Promise<{ tables: TableProfile[]; fault: FileFault | null }> {
  const { fault, ...profile } = await profileColumns(path, { sheet });
  return { tables: [{ sheet: profile.format?.kind === "xlsx" ? sheet : null, ...profile }], fault };
}

/** Puts a table's mapping into the draft, and its sheet's name where that may be shown. */
function takeTable(draft: Draft, { sheet }: TableProfile, proposal: MappingProposal): void {
  draft.mapping[proposal.table] = mappingFragment(proposal);
  if (sheet === null || !looksLikeColumnName(sheet)) return;
  const role = proposal.table === "patients" ? "cohort" : "visits";
  draft.files = { format: { ...draft.files?.format, [role]: { sheet } } };
}

/** Every sheet with how well it agrees with either table. */
function sheetLines(matches: readonly SheetMatch[]): string[] {
  return [...Map.groupBy(matches, ({ profile }) => profile)].map(([profile, own]) =>
    `  ${sheetName(profile)} (${counted(profile.rows, "row")}, ${
      counted(profile.columns.length, "column")
    }): ` +
    own.map(({ table, confidence }) => `${confidence.toFixed(2)} ${table}`).join(", ")
  );
}

function counted(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? "" : "s"}`;
}

function sheetName({ sheet }: TableProfile): string {
  return sheet !== null && looksLikeColumnName(sheet)
    ? `sheet "${sheet}"`
    : "a sheet whose name is not shown";
}

async function main(args: readonly string[]): Promise<number> {
  const line = commandLine(args, {
    usage,
    options: {
      cohort: { type: "string" },
      visits: { type: "string" },
      sheet: { type: "string" },
      "visits-sheet": { type: "string" },
      out: { type: "string", default: "out/mapping.json" },
    },
  });
  if ("code" in line) return line.code;
  const { values } = line;
  if (!values.cohort && !values.visits) {
    console.error(usage);
    return 2;
  }
  const draft: Draft = { mapping: { patients: {}, visits: {} } };
  const files: [TableName, string | undefined, string | undefined][] = [
    ["patients", values.cohort, values.sheet],
    ["visits", values.visits, values["visits-sheet"]],
  ];
  for (const [table, path, sheet] of files) {
    if (path === undefined) continue;
    const wanted = table === "patients" && !values.visits ? bothTables : [table];
    if (!await mapFile(draft, path, { table, wanted, sheet })) return 2;
  }
  try {
    await Deno.mkdir(dirname(values.out), { recursive: true });
    const { toConfirm, files, mapping } = draft;
    const text = JSON.stringify({ toConfirm, files, mapping }, null, 2);
    await Deno.writeTextFile(values.out, `${text}\n`);
  } catch {
    console.error(`Cannot write ${values.out}`);
    return 2;
  }
  console.log(`\nA draft, to be read and corrected: ${values.out}`);
  console.log(
    "\nNext: copy what is right of it into the study file, then\n" +
      `  ${taskLine("validate", { study: "FILE" })}`,
  );
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
