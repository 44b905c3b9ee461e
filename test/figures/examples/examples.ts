import type { Figure } from "../../../lib/figures/drawing/figure.ts";
import type { Example } from "./relabelled.ts";
import { programmeExamples } from "./programme-examples.ts";
import { curveExamples } from "./curve-examples.ts";
import { designExamples } from "./design-examples.ts";
import { resultExamples } from "./result-examples.ts";

/** Every figure once or more, from invented results. */
export function examples(): Figure[] {
  return everyExample().map(({ figure }) => figure);
}

/** The same, each to be drawn again under other names. */
export function everyExample(): Example[] {
  return [...curveExamples(), ...designExamples(), ...resultExamples(), ...programmeExamples()];
}
