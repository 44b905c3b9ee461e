import type { SeededRandom } from "../../lib/numerics/mod.ts";

/** Texts that have broken other programs, or been run, rendered or followed by them. */
export const nasty = [
  "",
  " ",
  "\0",
  "\uFEFF",
  "\r",
  "\n",
  "\r\n",
  '"',
  '""',
  '"\n"',
  ",",
  ";",
  "\t",
  "__proto__",
  "constructor",
  "toString",
  "hasOwnProperty",
  "NaN",
  "-0",
  "1e999",
  "-1e-999",
  "0x1F",
  "9007199254740993",
  "2147483648",
  "1,5",
  "1.5.5",
  "-9",
  "999",
  "NK",
  "2014-02-30",
  "=cmd|' /C calc'!A0",
  "@SUM(1+1)",
  "+1+1",
  "-2+3",
  "<script>alert(1)</script>",
  "<img src=x onerror=alert(1)>",
  "]]>",
  "&lt;&#0;",
  "../../../etc/passwd",
  "%2e%2e%2f",
  "${7*7}",
  "{{7*7}}",
  "\ud800",
  "é",
  "日本語",
  "😀",
  "\u202e",
  "a".repeat(5000),
];

const encoder = new TextEncoder();

function pick<T>(random: SeededRandom, values: readonly T[]): T {
  return values[Math.floor(random.uniform() * values.length)]!;
}

/**
 * Bytes changed in one to four places: flipped, cut out, doubled, cut off, or nasty text put in.
 */
export function mutatedBytes(bytes: Uint8Array, random: SeededRandom): Uint8Array {
  let result = bytes;
  const times = 1 + Math.floor(4 * random.uniform());
  for (let i = 0; i < times; i++) {
    const at = Math.floor(random.uniform() * (result.length + 1));
    const span = Math.floor(random.uniform() ** 3 * Math.min(200, result.length - at));
    const [before, middle, after] = [
      result.subarray(0, at),
      result.subarray(at, at + span),
      result.subarray(at + span),
    ];
    const parts = pick(random, [
      () => [before, Uint8Array.of(Math.floor(256 * random.uniform())), result.subarray(at + 1)],
      () => [before, after],
      () => [before, middle, middle, after],
      () => [before],
      () => [before, encoder.encode(pick(random, nasty)), after],
      () => [before, encoder.encode(pick(random, nasty)), result.subarray(at)],
    ])();
    result = joined(parts);
  }
  return result;
}

/**
 * A table with one to three cells, headings included, made nasty; rows and columns doubled or lost.
 */
export function mutatedTable(
  rows: readonly (readonly string[])[],
  random: SeededRandom,
): string[][] {
  const table = rows.map((row) => [...row]);
  const times = 1 + Math.floor(3 * random.uniform());
  for (let i = 0; i < times; i++) {
    const row = Math.floor(random.uniform() * table.length);
    const cells = table[row] ?? [];
    const column = Math.floor(random.uniform() * cells.length);
    const draw = random.uniform();
    if (draw < 0.7) cells[column] = pick(random, nasty);
    else if (draw < 0.8) table.splice(row, 0, [...cells]);
    else if (draw < 0.85 && table.length > 1) table.splice(row, 1);
    else if (draw < 0.95) { for (const one of table) one.push(one[column] ?? ""); }
    else for (const one of table) one.splice(column, 1);
  }
  return table;
}

/** A JSON value with one to three of its parts made nasty, lost, or put under another name. */
export function mutatedJson(value: unknown, random: SeededRandom): unknown {
  const copy: unknown = structuredClone(value);
  const times = 1 + Math.floor(3 * random.uniform());
  for (let i = 0; i < times; i++) {
    let at = copy;
    for (let depth = 0; depth < 6 && typeof at === "object" && at !== null; depth++) {
      const keys = Object.keys(at);
      if (keys.length === 0) break;
      const key = pick(random, keys);
      const holder = at as Record<string, unknown>;
      const inner = holder[key];
      if (typeof inner === "object" && inner !== null && random.uniform() < 0.8) {
        at = inner;
        continue;
      }
      const draw = random.uniform();
      if (draw < 0.15) delete holder[key];
      else if (draw < 0.3 && Array.isArray(holder)) holder.push(inner);
      else if (draw < 0.3) {
        const ordinary = { enumerable: true, configurable: true, writable: true };
        Object.defineProperty(holder, pick(random, nasty), { value: inner, ...ordinary });
      } else {
        holder[key] = pick<unknown>(random, [
          ...nasty,
          null,
          true,
          -1,
          0,
          1e308,
          [],
          {},
          [[[]]],
          { column: "lvef" },
        ]);
      }
      break;
    }
  }
  return copy;
}

function joined(parts: Uint8Array[]): Uint8Array {
  const result = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    result.set(part, at);
    at += part.length;
  }
  return result;
}
