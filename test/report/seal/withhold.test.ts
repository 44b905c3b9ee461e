import { deepEqual, ok } from "node:assert/strict";
import fc from "fast-check";
import { placesToWithhold } from "../../../lib/report/seal/withhold.ts";
import { placeText } from "../../../lib/report/reading/mod.ts";

/**
 * Figures that each say something of one count, which is open once all of any of `keys` are gone.
 */
function tried(figures: number, keys: readonly (readonly number[])[]) {
  const places = Array.from({ length: figures }, (_, k) => ({ figure: `${k}` }));
  const clues = places.map((place) => ({
    parts: [{ count: "few", times: 1 }],
    low: 0,
    high: 9,
    from: placeText(place),
  }));
  let calls = 0;
  const isOpenWithout = (gone: ReadonlySet<string>) =>
    keys.some((key) => key.every((k) => gone.has(placeText(places[k]!))));
  const facts = {
    ...{ clues, supposed: [], protect: new Set(["few"]) },
    places: new Map([["few", places]]),
  };
  const found = placesToWithhold("few", facts, ({ clues: told }) => {
    calls++;
    const there = new Set(told.map(({ from }) => from));
    return isOpenWithout(new Set(clues.map(({ from }) => from).filter((from) => !there.has(from))));
  }).map(placeText);
  return { found, calls, isOpenWithout };
}

Deno.test("property: what is withheld opens the count, and nothing less of it does", () => {
  const cases = fc.integer({ min: 1, max: 30 }).chain((figures) =>
    fc.tuple(
      fc.constant(figures),
      fc.array(
        fc.uniqueArray(fc.nat({ max: figures - 1 }), { minLength: 1, maxLength: 4 }),
        { maxLength: 4 },
      ),
    )
  );
  fc.assert(fc.property(cases, ([figures, keys]) => {
    const { found, isOpenWithout } = tried(figures, keys);
    if (keys.length === 0) return deepEqual(found, []);
    ok(isOpenWithout(new Set(found)));
    for (const text of found) {
      ok(!isOpenWithout(new Set(found.filter((other) => other !== text))), `${text} is not needed`);
    }
    // the first that does alone, where one does
    const alone = Math.min(...keys.filter((key) => key.length === 1).map(([k]) => k!));
    if (alone < Infinity) deepEqual(found, [placeText({ figure: `${alone}` })]);
  }));
});

Deno.test("two of 400 places are found in some fifty tries", () => {
  const { found, calls } = tried(400, [[17, 311]]);
  deepEqual(found, ["figure 17", "figure 311"]);
  ok(calls < 60, `${calls} tries`);
});
