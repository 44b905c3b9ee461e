import type { MixPerformance } from "./performance.ts";

/** One row a line, four digits. */
export function jsonOf(mixes: readonly MixPerformance[]): string {
  const text = (value: unknown) =>
    JSON.stringify(value, (_, x: unknown) => typeof x === "number" ? rounded(x, 4) : x);
  const parts = mixes.map(({ rows, ...rest }) =>
    `${text(rest).slice(0, -1)},"rows":[\n${rows.map(text).join(",\n")}\n]}`
  );
  return `[\n${parts.join(",\n")}\n]\n`;
}

/** A number of few digits; whole ones as they are. */
export function rounded(value: number, digits: number): number {
  return Number.isInteger(value) ? value : Number(value.toPrecision(digits));
}
