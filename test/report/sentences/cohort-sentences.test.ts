import assert from "node:assert/strict";
import { followedSentence } from "../../../lib/report/sentences/mod.ts";

const phrases = { repair: "an intended repair", replacement: "an intended replacement" };

function said(years: number[], complete: { repair: number; replacement: number }): string {
  return followedSentence(
    {
      columns: { op_year: Float64Array.from(years) },
      study: { timeZero: { closingYear: 2024.5 } },
      groups: { phrases },
    },
    (["repair", "replacement"] as const).map((arm) => ({
      arm,
      ...{ patients: 0, observedYears: 0, potentialYears: 0, died: 0, followed: 0, lostEarly: 0 },
      completeness: complete[arm],
    })),
  );
}

Deno.test("followedSentence() gives the groups' completeness apart where a whole per cent lies between", () => {
  assert.equal(
    said([2012, NaN, 2010, 2019], { repair: 0.9134, replacement: 0.9087 }),
    "Operated on from 2010 to 2019. Follow-up was last sought in 2024 and is 91% complete.",
  );
  assert.equal(
    said([2012], { repair: 0.97, replacement: 0.88 }),
    "Operated on in 2012. Follow-up was last sought in 2024 and is 97% complete after an intended " +
      "repair and 88% complete after an intended replacement.",
  );
});

Deno.test("followedSentence() leaves out what is not known", () => {
  assert.equal(
    said([NaN], { repair: NaN, replacement: NaN }),
    "Follow-up was last sought in 2024.",
  );
});
