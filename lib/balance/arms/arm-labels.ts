import { DataError, type GroupColumn, groupColumn, type Labels } from "../../numerics/mod.ts";

/**
 * Checks the arm of each row and codes it; arms are in the order of their text, as "10" before "9".
 *
 * @throws {DataError} with fewer than two arms, or two whose text is the same.
 */
export function armColumn(values: Labels): GroupColumn {
  const found = groupColumn("arm", values);
  if (found.labels.length < 2) {
    throw new DataError("arm", "two arms or more", found.labels.length);
  }
  const texts = found.labels.map(String);
  if (new Set(texts).size < texts.length) {
    throw new DataError("arm", "labels that are told apart by their text", values);
  }
  const order = texts.map((_, code) => code).sort((a, b) => texts[a]! < texts[b]! ? -1 : 1);
  const place = new Int32Array(order.length);
  order.forEach((code, position) => place[code] = position);
  return {
    codes: found.codes.map((code) => place[code]!),
    labels: order.map((code) => found.labels[code]!),
  };
}
