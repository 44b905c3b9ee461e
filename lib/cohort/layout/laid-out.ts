import type { TableLayout } from "../../study/mapping/mod.ts";
import { type FileFault, readRecords, type RecordTaker } from "../file/mod.ts";

/** How a table lies in its file, as far as reading it needs to know. */
export type Layout = Partial<Omit<TableLayout, "id">>;

/**
 * Reads a table that need not begin in the first line of its file: what stands above the column
 * names is passed over, names in two lines are joined, and where it was said so a blank takes the
 * value above it. The first record given is the header.
 *
 * @returns `null`, or why reading stopped.
 */
export async function readLaidOut(
  path: string,
  layout: Layout,
  taker: RecordTaker,
): Promise<FileFault | null> {
  const { header, fillDown = [], ...format } = layout;
  const lines = header ?? [];
  const last = Math.max(0, ...lines);
  const parts: string[][] = [];
  let names: string[] | undefined;
  let filled: number[] = [];
  const above: string[] = [];
  return await readRecords(path, {
    ...taker,
    take(record, line) {
      if (!names) {
        if (line < last && !lines.includes(line)) return;
        parts.push(record);
        if (line < last) return;
        names = joinedNames(parts);
        filled = names.flatMap((name, place) => fillDown.includes(name) ? [place] : []);
        taker.take(names, line);
        return;
      }
      const row = record.length > names.length && record.slice(names.length).every(isBlank)
        ? record.slice(0, names.length)
        : record;
      for (const place of filled) {
        if (isBlank(row[place] ?? "")) row[place] = above[place] ?? "";
        else above[place] = row[place] ?? "";
      }
      taker.take(row, line);
    },
  }, format);
}

/**
 * Column names from one or two lines. Of two, the first gives groups of columns, each named once
 * over its first column as merged cells are: "Echo: EF"; or the second gives units: "EF (%)".
 */
export function joinedNames([first = [], second]: readonly string[][]): string[] {
  if (!second) return numbered(trimmedEnd(first.map(tidy)));
  const units = second.filter((cell) => !isBlank(cell)).every(isUnit);
  const width = Math.max(first.length, second.length);
  let group = "";
  const names = Array.from({ length: width }, (_, place) => {
    const [upper, lower] = [tidy(first[place] ?? ""), tidy(second[place] ?? "")];
    if (units) return lower === "" ? upper : `${upper} (${lower})`.trim();
    if (upper !== "") group = upper;
    if (lower === "") return upper;
    return group === "" ? lower : `${group}: ${lower}`;
  });
  return numbered(trimmedEnd(names));
}

function trimmedEnd(names: string[]): string[] {
  return names.slice(0, names.findLastIndex((name) => name !== "") + 1);
}

/**
 * A name that stands there again is told apart: "EF", "EF (2)"; a column without one has its place.
 */
function numbered(names: string[]): string[] {
  const seen = new Map<string, number>();
  return names.map((name, place) => {
    if (name === "") return `column ${place + 1}`;
    const count = (seen.get(name) ?? 0) + 1;
    seen.set(name, count);
    return count === 1 ? name : `${name} (${count})`;
  });
}

function tidy(cell: string): string {
  return cell.normalize("NFKC").replace(/\s+/g, " ").trim();
}

function isBlank(cell: string): boolean {
  return cell.trim() === "";
}

/** Whether a cell says a unit and nothing else. */
export function isUnit(cell: string): boolean {
  return /^[[(]?(mm|cm|m|mm[2²]|cm[2²]|m[2²]|%|percent|ml|l|kg|g|mg\/dl|[uµμ]mol\/l|mmhg|kpa|min|h|s|d|days?|tage?|weeks?|months?|monate?|years?|jahre?|ans|años|anni|ml\/min.*|j\/n|y\/n|0\/1|grade?|grad|-)[\])]?$/i
    .test(cell.trim());
}
