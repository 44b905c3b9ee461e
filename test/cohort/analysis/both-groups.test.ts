import { deepEqual, doesNotThrow, throws } from "node:assert/strict";
import { hasBothGroups, needsBothGroups, NothingLeft } from "../../../lib/cohort/mod.ts";

Deno.test("both groups are there only with somebody of each (by hand)", () => {
  const groups = [[], [0], [1], [1, 1], [0, 0], [1, 0], Uint8Array.of(0, 1, 1)];
  deepEqual(
    groups.map((treated) => hasBothGroups({ treated })),
    [false, false, false, false, false, true, true],
  );
  doesNotThrow(() => needsBothGroups({ label: "Leaks", treated: [0, 1] }));
  throws(
    () => needsBothGroups({ label: "Leaks", treated: [1] }),
    (error) => error instanceof NothingLeft && /followed for “Leaks”/.test(error.message),
  );
});
