import { isJsonObject } from "../../study/problems/mod.ts";

/** A study file with what was changed by hand since it was last written. */
export interface Edited {
  study: Record<string, unknown>;
  /** Parts that are as they were changed by hand. */
  kept: string[];
  /** Headings of last time that the export has no more. */
  gone: string[];
}

type Json = Record<string, unknown>;

/** What describes the export, and so follows it; all else is the plan, which is the group's. */
const ofExport = ["$schema", "files", "export", "mapping"];

/**
 * The newly drafted study file with what a person has changed of the last one: what differs from
 * the draft of last time was changed by hand and stays, what does not follows the export. Without a
 * draft of last time, all that the study file has stays.
 *
 * The plan does not follow the export: a column that is new changes no plan. The year in which
 * follow-up was last sought does, unless it was changed by hand.
 */
export function withEdits(
  draft: Json,
  { last, present }: { last: Json | undefined; present: Json | undefined },
): Edited {
  if (!present) return { study: draft, kept: [], gone: [] };
  const kept: string[] = [];
  const study: Json = {};
  for (const key of new Set([...Object.keys(draft), ...Object.keys(present)])) {
    if (key === "mapping" || key === "timeZero") {
      study[key] = merged(
        { draft: draft[key], last: last?.[key], present: present[key] },
        key,
        kept,
      );
    } else if (ofExport.includes(key)) study[key] = draft[key];
    else if (key in present) study[key] = present[key];
  }
  const headings = (of: Json | undefined) =>
    ["patients", "visits"].flatMap((table) =>
      [...new Set([...Object.keys(part(of?.mapping, table)), ...sourcesOf(of, table)])]
        .map((heading) => `${table}.${heading}`)
    );
  const now = new Set(headings(draft));
  return { study, kept, gone: headings(last).filter((heading) => !now.has(heading)) };
}

interface Three {
  draft: unknown;
  last: unknown;
  present: unknown;
}

function merged({ draft, last, present }: Three, path: string, kept: string[]): unknown {
  if (same(present, last) || same(present, draft)) return draft;
  if (isJsonObject(draft) && isJsonObject(present)) {
    const result: Json = {};
    for (const key of new Set([...Object.keys(draft), ...Object.keys(present)])) {
      // a heading that is no more in the export is no more in its mapping
      if (/^mapping\.(patients|visits)$/.test(path) && !(key in draft)) continue;
      // taken out by hand
      if (!(key in present) && isJsonObject(last) && key in last) continue;
      const three = {
        draft: draft[key],
        last: isJsonObject(last) ? last[key] : undefined,
        present: present[key],
      };
      const value = key in present ? merged(three, `${path}.${key}`, kept) : draft[key];
      if (value !== undefined) result[key] = value;
    }
    return result;
  }
  if (/^mapping\.derived\.\w+$/.test(path) && Array.isArray(draft) && Array.isArray(present)) {
    const rules = (list: unknown): Json =>
      Object.fromEntries(
        (Array.isArray(list) ? list : []).map((rule: Json) => [String(rule.column), rule]),
      );
    const three = { draft: rules(draft), last: rules(last), present: rules(present) };
    return Object.values(merged(three, `${path} of`, kept) as Json);
  }
  kept.push(path);
  return present;
}

function same(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}

function part(of: unknown, key: string): Json {
  const value = isJsonObject(of) ? of[key] : undefined;
  return isJsonObject(value) ? value : {};
}

/**
 * Headings that the rules of a draft's mapping read: texts in them that are headings of its table.
 */
function sourcesOf(of: Json | undefined, table: string): string[] {
  const rules = part(of?.mapping, "derived")[table];
  const keys = new Set(["date", "from", "to", "sources", "creatinine", "height", "weight"]);
  return (Array.isArray(rules) ? rules : []).flatMap((rule: Json) =>
    Object.entries(rule).flatMap(([key, value]) =>
      keys.has(key) ? [value].flat().filter((one) => typeof one === "string") : []
    )
  );
}
