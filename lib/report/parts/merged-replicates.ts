import {
  type KeptReplicates,
  replicatesFrom,
  replicatesText,
} from "../../sensitivity/bootstrap/mod.ts";

/**
 * The replicates of some parts, in the order of the parts, as one text: of each job the first
 * part's, then the second's, and so on.
 *
 * @throws {SyntaxError} where a line is not of replicates.
 */
export function mergedReplicates(parts: readonly (readonly string[])[]): string {
  const byKey = new Map<string, Float64Array[]>();
  for (const lines of parts) {
    for (const { key, values } of replicatesFrom(lines.join("\n"))) {
      const own = byKey.get(key);
      if (own) own.push(values);
      else byKey.set(key, [values]);
    }
  }
  const merged = [...byKey].map(([key, pieces]): KeptReplicates => {
    const values = new Float64Array(pieces.reduce((sum, { length }) => sum + length, 0));
    let at = 0;
    for (const piece of pieces) {
      values.set(piece, at);
      at += piece.length;
    }
    return { key, values };
  });
  return replicatesText(merged);
}
