import { DataError } from "../../numerics/mod.ts";

/** One choice that an analyst has to make, and what may be chosen. */
export interface Dimension {
  /** Name that it is referred to by. */
  id: string;
  /** For a figure, such as "Missing values". */
  label: string;
  /** What can be chosen. */
  options: readonly { id: string; label: string }[];
}

/** One option of every dimension, by their ids. */
export type Choices = Readonly<Record<string, string>>;

/**
 * Every combination of choices, the last dimension's options changing fastest.
 *
 * @param allowed Combinations for which it is false are left out: those that make no sense.
 * @throws {DataError} on a dimension without options, or ids that repeat.
 */
export function everyPath(
  dimensions: readonly Dimension[],
  allowed: (choices: Choices) => boolean = () => true,
): Choices[] {
  checkDimensions(dimensions);
  let paths: Choices[] = [{}];
  for (const { id, options } of dimensions) {
    paths = paths.flatMap((path) => options.map((option) => ({ ...path, [id]: option.id })));
  }
  return paths.filter(allowed);
}

/** @throws {DataError} */
export function checkDimensions(dimensions: readonly Dimension[]): void {
  const all = dimensions.map(({ id }) => id);
  if (all.length === 0) throw new DataError("dimensions", "at least one", "none");
  for (const ids of [all, ...dimensions.map(({ options }) => options.map(({ id }) => id))]) {
    if (ids.length === 0) throw new DataError("dimensions.options", "at least one", "none");
    const twice = ids.find((id, k) => ids.indexOf(id) !== k);
    if (twice !== undefined) throw new DataError("dimensions", "of different ids", twice);
  }
}
