import { checkNumber, DataError, distributions, type SeededRandom } from "../../numerics/mod.ts";

/**
 * What is believed of a number that the data cannot show, in one of three forms.
 *
 * `even`: anywhere between two values alike. `likeliest`: rising from `from` to it and falling to
 * `to`. `log-normal`: above 0, with 95% of the belief between `from` and `to`, symmetric
 * on the log.
 */
export type Prior =
  | { form: "even"; from: number; to: number }
  | { form: "likeliest"; from: number; likeliest: number; to: number }
  | { form: "log-normal"; from: number; to: number };

/** Checks a prior; `least` and `most` bound what may be believed. @throws {DataError} */
export function checkPrior(
  name: string,
  prior: Prior,
  { least, most }: { least: number; most: number },
): Prior {
  const within = (v: number) => v >= least && v <= most && Math.abs(v) < Infinity;
  const bounds = `a finite number from ${least} to ${most}`;
  checkNumber(`${name}.from`, prior.from, within, bounds);
  checkNumber(`${name}.to`, prior.to, within, bounds);
  if (!(prior.from <= prior.to)) throw new DataError(`${name}.to`, `>= ${prior.from}`, prior.to);
  if (prior.form === "likeliest") {
    const between = (v: number) => v >= prior.from && v <= prior.to;
    checkNumber(`${name}.likeliest`, prior.likeliest, between, "between from and to");
  }
  if (prior.form === "log-normal" && !(prior.from > 0)) {
    throw new DataError(`${name}.from`, "> 0 on a logarithmic scale", prior.from);
  }
  return prior;
}

/** One draw. */
export function drawPrior(prior: Prior, random: SeededRandom): number {
  const { from, to } = prior;
  if (prior.form === "even") return from + (to - from) * random.uniform();
  if (prior.form === "log-normal") {
    const [low, high] = [Math.log(from), Math.log(to)];
    const spread = (high - low) / (2 * distributions.normalUpperQuantile(0.025));
    return Math.exp((low + high) / 2 + spread * random.normal());
  }
  const { likeliest } = prior;
  const u = random.uniform();
  if (from === to) return from;
  const rise = (likeliest - from) / (to - from);
  return u < rise
    ? from + Math.sqrt(u * (to - from) * (likeliest - from))
    : to - Math.sqrt((1 - u) * (to - from) * (to - likeliest));
}
