import { basename, relative } from "node:path";
import type { TableName } from "../dictionary/mod.ts";
import { readSheets } from "../file/mod.ts";
import { findHeader, type HeadRecord } from "../layout/mod.ts";
import { matchSheets, profileColumns, proposeSheets, type TableProfile } from "../propose/mod.ts";
import { type AskedTable, askTable, stillNeeded, type TablePlace } from "./ask-table.ts";
import { draftMapping } from "./draft-mapping.ts";
import { draftStudy, filledColumns } from "./draft-study.ts";
import type { Conversation } from "./questions.ts";

/** What a conversation comes to. */
export interface Outcome {
  /** Paths of the export's tables; the same twice where both are sheets of one workbook. */
  cohort: string;
  visits: string | null;
  /** The study file's content. */
  study: Record<string, unknown>;
  /** Columns that every patient must have and the export has nothing for. */
  needed: string[];
}

/** What is known before the first question. */
export interface Start {
  cohort?: string;
  visits?: string;
  /** Path of the published schema, relative to the study file. */
  schema?: string;
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
  const cohort = start.cohort ?? await askFile(talk, "cohort", "the patients table (CSV or XLSX)");
  if (cohort === null) throw new Error("the patients table must be named (files.cohort)");
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
    sheets,
    others: apart
      ? await lookAt(visitsPath)
      : visitsPath === "none" || visitsPath === null
      ? []
      : sheets,
  });
  const tables: AskedTable[] = [];
  for (const place of places) tables.push(await askTable(talk, say, place));
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
    lines: ["When was follow-up last sought, as a decimal year? 2024.5 is the middle of 2024"],
    ...(latest !== null && { proposal: String(latest) }),
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
  return {
    cohort,
    visits: visits ? (apart ? visitsPath : cohort) : null,
    study,
    needed: stillNeeded(filledColumns(mapping, "patients")),
  };
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
  { sheets, others }: { sheets: Sheet[]; others: Sheet[] },
): Promise<TablePlace[]> {
  const all = [...new Set([...sheets, ...others])];
  const profiles = new Map<TableProfile, Sheet>();
  for (const sheet of all) {
    const lines = findHeader(sheet.head)?.lines ?? [1];
    const { fault: _, ...profile } = await profileColumns(sheet.path, {
      ...(sheet.sheet !== null && { sheet: sheet.sheet }),
      header: lines,
    });
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
      wrong: (text) =>
        text === "none" || names.includes(text) ? null : "one of the sheets, or none",
    });
    return among.find(({ sheet }) => sheet === answer) ?? null;
  };
  const patients = await pick("patients", sheets);
  if (!patients) throw new Error("the sheet of the patients table must be named (patients.sheet)");
  const visits = await pick("visits", others);
  return [
    { table: "patients", ...patients },
    ...(visits && visits !== patients ? [{ table: "visits" as const, ...visits }] : []),
  ];
}

/** The year of the latest date of last contact or operation, as far as the first rows tell. */
function latestYear({ decided, profile }: AskedTable): number | null {
  let latest: number | null = null;
  for (const { profile: column, decision } of decided) {
    if (decision.as !== "source" || !["contact", "operation", "death"].includes(decision.source)) {
      continue;
    }
    for (const row of profile.first) {
      const year = Number(/(19|20)\d{2}/.exec(row[column.position] ?? "")?.[0] ?? NaN);
      if (year > (latest ?? 0)) latest = year + 1;
    }
  }
  return latest;
}

/** A path as a study file in another folder names it. */
export function pathFrom(folder: string, path: string): string {
  const way = relative(folder, path);
  return way.startsWith(".") ? way : `./${way}`;
}
