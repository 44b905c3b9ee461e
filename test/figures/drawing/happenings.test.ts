import assert from "node:assert/strict";
import { crossing, fewLeft } from "../../../lib/figures/over-time/happenings.ts";
import { survivalFigure } from "../../../lib/figures/over-time/survival-figure.ts";
import { textsOf } from "./read-svg.ts";

// By hand: two falling steps that change places once, at 3.
const first = { time: [1, 3, 4], estimate: [0.8, 0.79, 0.78], atRisk: [40, 30, 8] };
const second = { time: [1, 3, 4], estimate: [0.95, 0.7, 0.6], atRisk: [50, 20, 12] };

Deno.test("crossing() finds the one time at which two curves change places", () => {
  const frame = { start: 1, horizon: 5 };
  assert.deepEqual(crossing([first, second], frame).map(({ at }) => at), [3]);
  assert.deepEqual(crossing([first, first], frame), []);
  // back again: no order holds, so none is marked
  const back = { ...second, estimate: [0.95, 0.7, 0.9] };
  assert.deepEqual(crossing([first, back], frame), []);
  // what happens among few is not marked
  assert.deepEqual(crossing([first, second], { ...frame, smallestAtRisk: 35 }), []);
});

Deno.test("fewLeft() finds from when a group has too few", () => {
  const frame = { horizon: 5, smallestAtRisk: 10 };
  assert.deepEqual(fewLeft([first, second], frame).map(({ at }) => at), [3]);
  assert.deepEqual(fewLeft([second], frame), []);
});

Deno.test("survivalFigure() carries the warning of groups as they were inside the drawing", () => {
  const curve = { time: [1, 3], survival: [0.9, 0.8], atRisk: [40, 30] };
  const draw = (design: "unadjusted" | "matched") =>
    survivalFigure({
      id: "s",
      title: "S",
      groups: [{ label: "Repair", curve }],
      horizon: 3,
      version: { of: "survival", design },
    });
  assert.match(
    textsOf(draw("unadjusted").svg, "warning").map((t) => t.text).join(" "),
    /not alike/,
  );
  assert.deepEqual(textsOf(draw("matched").svg, "warning"), []);
});
