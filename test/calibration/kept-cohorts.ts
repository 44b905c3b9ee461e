/** What a calibration has kept of its cohorts, a line of JSON each; none before it began. */
export function keptCohorts<Kept>(file: string): Kept[] {
  try {
    return Deno.readTextFileSync(file).split("\n").filter((line) => line !== "")
      .map((line): Kept => JSON.parse(line));
  } catch (error) {
    if (error instanceof Deno.errors.NotFound) return [];
    throw error;
  }
}
