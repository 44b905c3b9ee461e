import { DataError } from "mitral";

/** The argument that a function refuses, "none" where it takes all. */
export function refusedBy(run: () => unknown): string {
  try {
    run();
  } catch (error) {
    if (error instanceof DataError) return error.argument;
    throw error;
  }
  return "none";
}
