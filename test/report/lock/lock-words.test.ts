import assert from "node:assert/strict";
import { lockWords } from "../../../lib/report/lock/mod.ts";
import type { ReportModel } from "../../../lib/report/model/mod.ts";

const locked = (outcomesSeenAt: string | null, registered?: string): Pick<ReportModel, "lock"> => ({
  lock: {
    lockedAt: "2031-02-03T23:59:06.000Z",
    planSha256: "0".repeat(64),
    outcomesSeenAt,
    ...(registered !== undefined && { registered }),
    files: {},
    plan: {},
  },
});

Deno.test("lockWords() say whether the plan was locked, and whether outcomes had been seen", () => {
  assert.equal(
    lockWords({ lock: null }),
    "The plan was not locked before outcomes were joined: when it was written, nobody can verify.",
  );
  assert.equal(
    lockWords(locked(null)),
    "The plan was locked on 3 February 2031, before any report with outcomes that its folder " +
      "knows of.",
  );
  assert.equal(
    lockWords(locked("2031-01-09T00:00:00.000Z", "an invented registry, number 1")),
    "The plan was locked on 3 February 2031, after a report with outcomes had been made, on 9 " +
      "January 2031. Registered: an invented registry, number 1.",
  );
});
