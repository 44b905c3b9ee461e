import { DataError, type FollowUp, followUpColumns } from "../../numerics/mod.ts";

/**
 * The same rows with one cause as the event and every other cause as a censoring, for a
 * cause-specific hazard: `coxRegression(causeSpecific(data, 1))`.
 *
 * A cause-specific hazard ratio says how a covariate acts on the rate of one event among those
 * still free of all of them: the question of cause and effect. It does not say whose cumulative
 * incidence is higher, which the other causes decide too (`subdistributionRegression` does).
 * A curve made from these rows with `kaplanMeier` is not a cumulative incidence.
 *
 * Everything else in `data` (covariates, stratum, cluster) is passed through. Cost O(n log n).
 *
 * @throws {DataError} when `cause` is not one of 1, 2, ... or occurs in no row.
 * @see Prentice et al. (1978) Biometrics 34:541-554. Latouche et al. (2013) J Clin Epidemiol
 * 66:648-653, for reporting both kinds of hazard.
 */
export function causeSpecific<T extends FollowUp>(data: T, cause: number): T {
  const { event } = followUpColumns(data, { causes: true });
  const own = new Uint8Array(event.length);
  let some = false;
  for (let i = 0; i < own.length; i++) {
    if (event[i] !== cause) continue;
    own[i] = 1;
    some = true;
  }
  if (!some) throw new DataError("cause", "a cause that occurs in `event`", cause);
  return { ...data, event: own };
}
