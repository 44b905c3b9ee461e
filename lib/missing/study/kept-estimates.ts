import type { DesignedFollowUp } from "../../balance/samples/mod.ts";
import { keptResult } from "../../cohort/kept/mod.ts";

/**
 * What is estimated from follow-up under a design, as an earlier run worked it out or worked out
 * now: see `keptResult`.
 *
 * @param name Says what is estimated.
 * @param options All that it follows from beside the data, as plain data.
 */
export function keptEstimate<Estimate>(
  data: DesignedFollowUp,
  name: string,
  options: unknown,
  make: () => Estimate,
): Estimate {
  return keptResult(
    () => `${name} ${shapeOf(data)} ${JSON.stringify(options)}`,
    () => columnsOf(data),
    make,
  );
}

function columnsOf(data: DesignedFollowUp): (Float64Array | Int32Array | Uint8Array)[] {
  const { time, event, group, cluster, weight, inSets = [] } = data;
  return [time, event, group, cluster, weight].flatMap((column) => column ?? [])
    .concat(inSets.flatMap(columnsOf));
}

/** Which columns there are. */
function shapeOf({ cluster, weight, inSets = [] }: DesignedFollowUp): string {
  return `${Number(!!cluster)}${Number(!!weight)}(${inSets.map(shapeOf).join("")})`;
}
