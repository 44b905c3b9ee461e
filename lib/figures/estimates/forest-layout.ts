import { textWidth, widest, wrapText } from "../drawing/mod.ts";
import { type as typeSize } from "../theme/mod.ts";
import { effectParts, type EffectScale, effectText, type ForestRow } from "./forest-words.ts";

/** Rows that answer one question, such as one subgroup variable. */
export interface ForestSection {
  /** Heading of the section. */
  label?: string;
  /** Where the threshold came from. */
  source?: string;
  /** The test of whether the effect differs between the rows, as it is to be printed. */
  interaction?: string;
  /** Its rows, in order. */
  rows: readonly ForestRow[];
}

/** One line of letters: where it begins or, in a column of numbers, ends. */
export interface ForestLine {
  text: string;
  x: number;
  /** Its middle. */
  y: number;
  anchor: "start" | "end";
  part: "section-label" | "row-label" | "row-count" | "note" | "risk" | "effect" | "group-label";
  bold?: boolean;
  quiet?: boolean;
  /** The place of its group, where it belongs to one. */
  group?: number;
}

/** Where the mark of a row stands, and from where to where the frame is drawn beside it. */
export interface ForestPlace {
  row: ForestRow;
  overall: boolean;
  y: number;
  top: number;
  bottom: number;
}

/** A figure of effects laid out: names, risks, the frame of the marks, numbers. */
export interface ForestLayout {
  lines: ForestLine[];
  places: ForestPlace[];
  /** From the name of a group down to its column of risks. */
  leaders: { x: number; from: number; to: number }[];
  height: number;
  /** Ends of the frame, and what is left to its right. */
  left: number;
  right: number;
}

const lineHeight = 18;
const gap = 14;
/** From this width on, numbers stand on one line. */
const wideEnough = 700;

/**
 * Lays out effects in columns: names, the risk in each group, the frame, numbers. Names that would
 * take more than two lines beside the frame stand over their row instead, in the whole width.
 */
export function layOut(options: {
  sections: readonly ForestSection[];
  overall?: ForestRow;
  scale: EffectScale;
  groups?: readonly string[];
  width: number;
}): ForestLayout {
  const { sections, overall, width } = options;
  const rows = [...(overall ? [overall] : []), ...sections.flatMap((section) => section.rows)];
  const columns = columnsOf(rows, options);
  const { stacked, names, risks, left, right } = columns;
  const lines: ForestLine[] = [];
  const places: ForestPlace[] = [];
  const leaders: ForestLayout["leaders"] = [];
  let y = 0;
  const write = (
    text: string,
    { room, ...style }: Omit<ForestLine, "text" | "y"> & { room: number },
  ) => {
    const size = style.part === "section-label" ? typeSize.label : typeSize.text;
    for (const line of wrapText(text, room, { size, bold: style.bold })) {
      lines.push({ text: line, y: y + lineHeight / 2, ...style });
      y += lineHeight;
    }
  };
  const wide = { x: 2, anchor: "start", room: width - 4 } as const;
  const nameGroups = () => {
    const heads = risks.length > 0 ? options.groups ?? [] : [];
    heads.forEach((name, group) => {
      const x = risks[group]!.start;
      const room = width - x - (group === heads.length - 1 ? right : 4);
      leaders.push({ x: x + 4, from: y + lineHeight, to: 0 });
      write(name, { x, room, anchor: "start", part: "group-label", bold: true, group });
      leaders[group]!.from = y;
    });
    if (heads.length === 0) return;
    for (const leader of leaders) leader.to = y + 4;
    y += 6;
  };
  const place = (row: ForestRow, whole: boolean) => {
    const name = { x: 2, anchor: "start", part: "row-label", bold: whole } as const;
    // a short count stands beside a short name
    const aside = stacked && row.counts?.length === 1 ? row.counts[0] : undefined;
    const start = 2 + textWidth(row.label, typeSize.text, { bold: whole }) + 8;
    const beyond = aside !== undefined &&
      start + textWidth(aside, typeSize.text) < width - 4;
    if (beyond) {
      const middle = y + lineHeight / 2;
      lines.push({
        ...name,
        text: aside,
        x: start,
        y: middle,
        bold: false,
        quiet: true,
        part: "row-count",
      });
    }
    if (stacked) write(row.label, { ...name, room: width - 4 });
    const top = y;
    const beside = stacked ? [] : [
      ...wrapText(row.label, names - gap, { size: typeSize.text, bold: whole })
        .map((text) => ({ ...name, text })),
      ...(row.counts ?? []).flatMap((count) =>
        wrapText(count, names - gap, { size: typeSize.text })
          .map((text) => ({ ...name, text, bold: false, quiet: true, part: "row-count" as const }))
      ),
    ];
    const effect = effectLines(row, options);
    const tall = Math.max(beside.length, effect.length, 1);
    const centred = (count: number) => top + ((tall - count) * lineHeight) / 2 + lineHeight / 2;
    beside.forEach((line, k) =>
      lines.push({ ...line, y: centred(beside.length) + k * lineHeight })
    );
    effect.forEach((text, k) =>
      lines.push({
        text,
        x: width - 2,
        y: centred(effect.length) + k * lineHeight,
        anchor: "end",
        part: "effect",
        bold: k === 0 && effect.length > 1 || whole,
      })
    );
    (row.risks ?? []).forEach((text, group) => {
      const x = risks[group]?.end ?? 0;
      lines.push({ text, x, y: centred(1), anchor: "end", part: "risk", group });
    });
    y = top + tall * lineHeight;
    places.push({
      row,
      overall: whole,
      y: (top + y) / 2,
      top: stacked ? top : top - 4,
      // what is written under a row is not crossed out
      bottom: stacked ? y : y + 4,
    });
    if (stacked && !beyond) {
      for (const count of row.counts ?? []) {
        write(count, { ...wide, part: "row-count", quiet: true });
      }
    }
    y += stacked ? 12 : 9;
  };
  nameGroups();
  if (overall) place(overall, true);
  for (const { label, source, interaction, rows } of sections) {
    if (label) {
      y += y > 0 ? 8 : 0;
      write(label, { ...wide, part: "section-label", bold: true });
    }
    for (const note of [source, interaction]) {
      if (note) write(note, { ...wide, part: "note", quiet: true });
    }
    if (label || source || interaction) y += 5;
    for (const row of rows) place(row, false);
  }
  return { lines, places, leaders, height: y, left, right };
}

/** The numbers of a row: on one line where there is room. */
function effectLines(
  row: ForestRow,
  { scale, width }: { scale: EffectScale; width: number },
): string[] {
  return width >= wideEnough ? [effectText(row, scale)] : effectParts(row, scale);
}

function columnsOf(
  rows: readonly ForestRow[],
  options: { scale: EffectScale; groups?: readonly string[]; width: number },
) {
  const { width } = options;
  const bold = { bold: true };
  const numbers = widest(rows.flatMap((row) => effectLines(row, options)), typeSize.text, bold);
  const count = Math.max(0, ...rows.map(({ risks }) => risks?.length ?? 0));
  const riskWidths = Array.from(
    { length: count },
    (_, k) => widest(rows.map(({ risks }) => risks?.[k] ?? ""), typeSize.text) + gap,
  );
  const forRisks = riskWidths.reduce((sum, one) => sum + one, 0);
  const right = numbers + gap;
  const labels = rows.flatMap(({ label, counts = [] }) => [label, ...counts]);
  const shared = width - right - forRisks - gap;
  const oneLine = widest(labels, typeSize.text, bold) + gap;
  const twoLines = Math.max(...labels.map(widthInTwo)) + gap;
  const fits = (names: number, frame: number) => shared - names >= frame * width;
  const room = fits(oneLine, 0.42) ? oneLine : twoLines;
  const stacked = !fits(room, 0.3);
  const names = stacked ? 0 : room;
  let start = names + 2;
  const risks = riskWidths.map((one) => {
    const column = { start, end: start + one - gap };
    start += one;
    return column;
  });
  return { stacked, names, risks, left: Math.max(start + gap, 24), right };
}

/** The least width in which a name takes two lines. */
function widthInTwo(label: string): number {
  const whole = textWidth(label, typeSize.text, { bold: true });
  let [narrow, wide] = [whole / 2, whole];
  for (let k = 0; k < 12; k++) {
    const middle = (narrow + wide) / 2;
    const lines = wrapText(label, middle, { size: typeSize.text, bold: true });
    if (lines.length > 2) narrow = middle;
    else wide = middle;
  }
  return wide;
}
