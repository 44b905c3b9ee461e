import { basename, relative } from "node:path";
import type { TableName } from "../dictionary/mod.ts";
import { type ReadingProgress, readSheets } from "../file/mod.ts";
import { findHeader, type HeadRecord } from "../layout/mod.ts";
import { matchSheets, profileColumns, proposeSheets, type TableProfile } from "../propose/mod.ts";
import { type AskedTable, askTable, stillNeeded, type TablePlace } from "./ask-table.ts";
import type { Show } from "./ask-headings.ts";
import { confirm } from "./confirm.ts";
import { draftMapping } from "./draft-mapping.ts";
import { draftStudy, filledColumns } from "./draft-study.ts";
import { Back, type Conversation, unanswered } from "./questions.ts";

/** What a conversation comes to. */
export interface Outcome {
  /** Paths of the export's tables; the same twice where both are sheets of one workbook. */
  cohort: string;
  visits: string | null;
  /** The study file's content. */
  study: Record<string, unknown>;
  /** Columns that every patient or visit must have and the export has nothing for. */
  needed: string[];
}

/** What is known before the first question. */
export interface Start {
  cohort?: string;
  visits?: string;
  /** Path of the published schema, relative to the study file. */
  schema?: string;
  /** Told of every heading of a table, before any is asked about. */
  show?: Show;
  /** Told now and then how far the reading of a table has come. */
  progress?: (progress: ReadingProgress) => void;
  /** What a person changed by hand in the study file and so stays, of a study newly drafted. */
  changed?: (study: Record<string, unknown>) => string[];
}

const headRecords = 40;

/** A sheet as first looked at. */
interface Sheet {
  path: string;
  sheet: string | null;
  head: HeadRecord[];
}

/**
 * One conversation from a raw export to a whole study file: files, sheets, header, record numbers,
 * merged cells, dates, every doubtful heading and value, the study's name and close.
 *
 * @param say Told what needs no answer.
 */
export async function converse(
  talk: Conversation,
  say: (line: string) => void,
  start: Start,
): Promise<Outcome> {
  for (;;) {
    try {
      const { outcome, tables } = await once(talk, say, start);
      const changed = start.changed?.(outcome.study) ?? [];
      const again = await confirm(talk, { ...outcome, changed }, tables);
      if (again.length === 0) return outcome;
      await talk.again(again);
    } catch (error) {
      if (!(error instanceof Back)) throw error;
      await talk.back();
    }
  }
}

async function once(
  talk: Conversation,
  say: (line: string) => void,
  start: Start,
): Promise<{ outcome: Outcome; tables: AskedTable[] }> {
  const cohort = start.cohort ?? await askFile(talk, "cohort", "the patients table (CSV or XLSX)");
  if (cohort === null) throw unanswered("the patients table must be named", "files.cohort");
  const sheets = await lookAt(cohort);
  const visitsPath = start.visits ??
    await askFile(
      talk,
      "visits",
      "the echo visits table; “same” where it is another sheet of that workbook, “none” without one",
      sheets.length > 1 ? "same" : undefined,
    );
  const apart = visitsPath !== null && visitsPath !== "same" && visitsPath !== "none" &&
    visitsPath !== cohort;
  const places = await placesOf(talk, say, {
    progress: start.progress,
    sheets,
    others: apart
      ? await lookAt(visitsPath)
      : visitsPath === "none" || visitsPath === null
      ? []
      : sheets,
  });
  const tables: AskedTable[] = [];
  const { show, progress } = start;
  for (const place of places) {
    const told = { ...(show && { show }), ...(progress && { progress }) };
    tables.push(await askTable(talk, say, { ...place, ...told }));
  }
  const mapping = draftMapping(tables);
  const [patients, visits] = tables;
  const name = await talk.ask({
    id: "study.name",
    lines: ["A short name of the study, in small letters: it names the folder of the report"],
    proposal: "our-mitral-cohort",
    wrong: (text) =>
      /^[a-z][a-z0-9-]{1,40}$/.test(text) ? null : "small letters, digits and hyphens",
  });
  const latest = latestYear(patients!);
  const closing = await talk.ask({
    id: "study.closing-year",
    lines: [
      "When was follow-up last sought, as a decimal year? 2024.5 is the middle of 2024",
      ...(latest === null ? [] : [`  the latest date in the file is of ${latest}`]),
    ],
    ...(latest !== null && { proposal: String(latest) }),
    // next year's export was followed for longer
    covers: (text) => latest === null || Number(text) >= latest,
    wrong: (text) => Number(text) >= 1990 && Number(text) <= 2101 ? null : "a year, such as 2024.5",
  });
  const study = draftStudy({
    name: name ?? "our-mitral-cohort",
    title: "Mitral valve repair or replacement",
    closingYear: Number(closing ?? latest ?? 2024.5),
    layouts: { cohort: patients!.layout, ...(visits && { visits: visits.layout }) },
    mapping,
    ...(start.schema && { schema: start.schema }),
  });
  const outcome = {
    cohort,
    visits: visits ? (apart ? visitsPath : cohort) : null,
    study,
    needed: tables.flatMap(({ table }) =>
      stillNeeded(table, filledColumns(mapping, table))
        .map((name) => table === "patients" ? name : `${name} of a visit`)
    ),
  };
  return { outcome, tables };
}

async function askFile(
  talk: Conversation,
  id: string,
  what: string,
  proposal?: string,
): Promise<string | null> {
  const answer = await talk.ask({
    id: `files.${id}`,
    lines: [`Which file is ${what}?`],
    ...(proposal && { proposal }),
    wrong: (text) => text === "same" || text === "none" || isFile(text) ? null : "no such file",
  });
  return answer ?? null;
}

function isFile(path: string): boolean {
  try {
    return Deno.statSync(path).isFile;
  } catch {
    return false;
  }
}

/** The first records of every sheet of a file. */
async function lookAt(path: string): Promise<Sheet[]> {
  const sheets: Sheet[] = [];
  const fault = await readSheets(path, (sheet) => {
    const head: HeadRecord[] = [];
    sheets.push({ path, sheet, head });
    return {
      begin() {},
      take(cells, line) {
        if (head.length < headRecords) head.push({ line, cells });
      },
    };
  });
  if (fault) throw new Error(`Cannot read ${basename(path)}: ${fault.message}; ${fault.remedy}`);
  return sheets.filter(({ head }) => head.length > 1);
}

/** Which sheet is which table: asked where there are several. */
async function placesOf(
  talk: Conversation,
  say: (line: string) => void,
  { sheets, others, progress }: { sheets: Sheet[]; others: Sheet[]; progress: Start["progress"] },
): Promise<TablePlace[]> {
  const all = [...new Set([...sheets, ...others])];
  const profiles = new Map<TableProfile, Sheet>();
  for (const sheet of all) {
    const lines = findHeader(sheet.head)?.lines ?? [1];
    const { fault: _, ...profile } = await profileColumns(sheet.path, {
      ...(sheet.sheet !== null && { sheet: sheet.sheet }),
      header: lines,
    }, progress);
    profiles.set({ sheet: sheet.sheet, ...profile }, sheet);
  }
  const matches = matchSheets([...profiles.keys()]);
  const chosen = proposeSheets(matches);
  const pick = async (table: TableName, among: Sheet[]): Promise<Sheet | null> => {
    if (among.length <= 1) return among[0] ?? null;
    for (const sheet of among) {
      const likeness = matches.find((match) =>
        match.table === table && profiles.get(match.profile) === sheet
      );
      say(
        `  sheet “${sheet.sheet}”: like the ${table} table ${likeness?.confidence.toFixed(2)}, ` +
          `${likeness?.reason}`,
      );
    }
    const proposed = chosen[table] && profiles.get(chosen[table].profile);
    const names = among.map(({ sheet }) => sheet ?? "");
    const answer = await talk.ask({
      id: `${table}.sheet`,
      lines: [`Which sheet has the ${table} table? ${names.join(", ")}; or none`],
      ...(proposed && among.includes(proposed) && { proposal: proposed.sheet ?? "" }),
      form: {
        kind: "one",
        choices: [...names, "none"].map((answer) => ({ answer, label: answer })),
      },
      wrong: (text) =>
        text === "none" || names.includes(text) ? null : "one of the sheets, or none",
    });
    return among.find(({ sheet }) => sheet === answer) ?? null;
  };
  const patients = await pick("patients", sheets);
  if (!patients) {
    throw unanswered("the sheet of the patients table must be named", "patients.sheet");
  }
  const visits = await pick("visits", others);
  return [
    { table: "patients", ...patients },
    ...(visits && visits !== patients ? [{ table: "visits" as const, ...visits }] : []),
  ];
}

/** The latest date of last contact, death or operation as a decimal year. */
function latestYear({ dates: order, decided }: AskedTable): number | null {
  let latest = -Infinity;
  for (const { profile: column, decision } of decided) {
    if (decision.as !== "source" || !["contact", "operation", "death"].includes(decision.source)) {
      continue;
    }
    latest = Math.max(latest, column.latest[order]);
  }
  // days count from 1970; a tenth of a year later, so that the last day lies before it
  return latest === -Infinity ? null : Math.ceil(10 * (1970 + latest / 365.25)) / 10;
}

/** A path as a study file in another folder names it. */
export function pathFrom(folder: string, path: string): string {
  const way = relative(folder, path);
  return way.startsWith(".") ? way : `./${way}`;
}
