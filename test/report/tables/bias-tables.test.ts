import assert from "node:assert/strict";
import { openStudy, pairsWithstand, parsePlan, supposedTable, withstandSentence } from "mitral";

const phrases = { repair: "a repair", replacement: "a replacement" };

Deno.test("pairsWithstand() counts pairs with both states known, and finds the bias they withstand", () => {
  // by hand: in 20 pairs only the replaced died, in 2 only the repaired, in 3 neither; one is lost
  const died = (repair: number, replacement: number, count: number) =>
    Array.from({ length: count }, () => [repair, replacement]);
  const pairsDied = [...died(0, 1, 20), ...died(1, 0, 2), ...died(0, 0, 3)];
  const flat = [...pairsDied.flat(), 0, 0];
  const time = flat.map((event, i) => i === flat.length - 1 ? 1 : event ? 2 : 9);
  const followUp = {
    rows: Int32Array.from(flat, (_, i) => i),
    time: Float64Array.from(time),
    event: Int32Array.from(flat),
    treated: Uint8Array.from(flat, (_, i) => i % 2 === 0 ? 1 : 0),
    leftOut: 0,
  } as unknown as Parameters<typeof pairsWithstand>[0];
  const pairs = Array.from({ length: flat.length / 2 }, (_, k) => [2 * k, 2 * k + 1] as const);
  const found = pairsWithstand(
    followUp,
    { pairs: pairs as unknown as Parameters<typeof pairsWithstand>[1]["pairs"] },
    5,
  );
  assert.equal(found.known, 25);
  assert.equal(found.more, "replacement");
  // the binomial tail P(X >= 20 of 22) with share gamma / (1 + gamma) is 0.025 there
  const share = found.gamma! / (1 + found.gamma!);
  const tail = 231 * share ** 20 * (1 - share) ** 2 + 22 * share ** 21 * (1 - share) + share ** 22;
  assert.ok(Math.abs(tail - 0.025) < 1e-9, String(tail));
  assert.match(
    withstandSentence(found, { what: "death", phrases }),
    /more common after a repl.*odds/,
  );
  assert.match(
    withstandSentence({ known: 0, more: undefined, gamma: null }, { what: "death", phrases }),
    /no pair in which/,
  );
  assert.match(
    withstandSentence({ ...found, gamma: null }, { what: "death", phrases }),
    /nothing for hidden bias to undo/,
  );
});

Deno.test("supposedTable() has the estimate as it stands, then each confounder of the plan", async () => {
  const study = await openStudy();
  assert.ok(study.bias.supposed.length > 0);
  const ratio = { estimate: 0.8, standardError: 0.1, lower: 0.66, upper: 0.97 };
  const { rows } = supposedTable({ id: "s", title: "S", caption: "" }, ratio, study);
  assert.equal(rows.length, 1 + study.bias.supposed.length);
  assert.equal(rows[0]?.estimate, 0.8);
  // fewer of the repaired are supposed to be frail: part of what looks like benefit is not
  assert.ok(Number(rows[1]?.estimate) > 0.8);
});

Deno.test("a plan refuses beliefs that cannot be", async () => {
  const plan = JSON.parse(await Deno.readTextFile((await openStudy()).path));
  const [supposed] = plan.bias.supposed;
  const withOne = (changed: object) => () =>
    parsePlan({ ...plan, bias: { supposed: [{ ...supposed, ...changed }] } });
  withOne({})();
  assert.throws(withOne({ repair: { form: "even", from: 0.5, to: 1.2 } }), /between 0 and 1/);
  assert.throws(withOne({ outcome: { form: "even", from: 2, to: 1 } }), /above to/);
  assert.throws(withOne({ outcome: { form: "even", from: 0, to: 1 } }), /above 0/);
});
