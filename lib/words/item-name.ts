import { DataError } from "../numerics/mod.ts";

/** A name that can be a file's and an anchor: lower-case words or digits joined by hyphens. */
export const itemName = /^[a-z0-9]+(-[a-z0-9]+)*$/;

/** The longest {@link itemName}. */
export const longestItemName = 80;

/** Checks a name that becomes a file and an anchor. @throws {DataError} */
export function checkItemName(argument: string, name: string): string {
  if (!itemName.test(name) || name.length > longestItemName) {
    throw new DataError(argument, "lower-case words or digits joined by hyphens", name);
  }
  return name;
}
