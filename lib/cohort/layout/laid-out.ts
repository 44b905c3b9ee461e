import type { TableLayout } from "../../study/mapping/mod.ts";
import { type FileFault, readRecords, type RecordTaker } from "../file/mod.ts";

/** How a table lies in its file, as far as reading it needs to know. */
export type Layout = Partial<TableLayout>;

/**
 * Reads a table that need not begin in the first line of its file: what stands above the column
 * names is passed over, names in two lines are joined, and where it was said so a blank takes the
 * value above it. Where record numbers are filled down themselves, what stands to their right is a
 * patient's own: it is not filled from the patient above. The first record given is the header.
 *
 * @returns `null`, or why reading stopped.
 */
export async function readLaidOut(
  path: string,
  layout: Layout,
  taker: RecordTaker,
): Promise<FileFault | null> {
  const { header, fillDown = [], id, ...format } = layout;
  const lines = header ?? [];
  const last = Math.max(0, ...lines);
  const parts: string[][] = [];
  let names: string[] | undefined;
  let filled: number[] = [];
  let numbers = -1;
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
        numbers = id !== undefined && fillDown.includes(id) ? names.indexOf(id) : -1;
        taker.take(names, line);
        return;
      }
      const row = record.length > names.length && record.slice(names.length).every(isBlank)
        ? record.slice(0, names.length)
        : record;
      if (numbers >= 0 && !isBlank(row[numbers] ?? "")) above.length = numbers;
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
 * A name that stands there again is told apart, and from every other: "EF", "EF (2)"; a column
 * without one has its place, as has one whose name no object can have.
 */
function numbered(names: string[]): string[] {
  const taken = new Set(names);
  const free = (name: string, from: number): string => {
    for (let count = from;; count++) {
      const told = count === 1 ? name : `${name} (${count})`;
      if (taken.has(told)) continue;
      taken.add(told);
      return told;
    }
  };
  const seen = new Set<string>();
  return names.map((name, place) => {
    if (name === "" || name === "__proto__") return free(`column ${place + 1}`, 1);
    if (seen.has(name)) return free(name, 2);
    seen.add(name);
    return name;
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
