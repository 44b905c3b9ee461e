/** Ends a notebook in which nothing is left to compare; see {@link needsBothGroups}. */
export class NothingLeft extends Error {
  /** Tells it from other errors. */
  override readonly name = "NothingLeft";
}

/** Whether somebody of each group can be followed for an endpoint. */
export function hasBothGroups({ treated }: { treated: ArrayLike<number> }): boolean {
  const groups = new Set(Array.from(treated));
  return groups.has(1) && groups.has(0);
}

/**
 * Ends a notebook here unless somebody of each group can be followed for an endpoint: of a registry
 * without grades on leaving theatre nobody can be for recurrence. The report says so in its place
 * and is complete without the cells that are left; other notebook clients stop with the message.
 *
 * @throws {NothingLeft} where nobody of one group can.
 */
export function needsBothGroups(
  followUp: { label: string; treated: ArrayLike<number> },
): void {
  if (hasBothGroups(followUp)) return;
  throw new NothingLeft(
    `Nobody of one group could be followed for “${followUp.label}”, so the groups are not compared ` +
      "in it.",
  );
}
