import type { Study } from "../../study/file/mod.ts";
import { formatNumber, listText } from "../../words/mod.ts";
import type { Analysis } from "../model/mod.ts";
import { followUpOf } from "./endpoints.ts";

/** A plan as far as these patients were followed, and what was planned past that. */
export interface ReachablePlan {
  /** The plan with the times at which both groups can be compared. */
  study: Study;
  /** One sentence for each time that had to change; empty where all are reached. */
  changes: string[];
}

/**
 * The plan's times after operation that both groups were followed to.
 *
 * A survival curve says nothing past the last patient seen, unless all had died by then. A main
 * horizon past that gives way to the last planned one that is reached; where none is, to the last
 * whole year (or quarter) of both groups' follow-up, which the plan did not name.
 */
export function reachablePlan(analysis: Analysis): ReachablePlan {
  const { study } = analysis;
  const { repair, replacement } = analysis.groups.counts;
  if (repair === 0 || replacement === 0) return { study, changes: [] };
  const { seen, curve } = followedTo(analysis);
  const reached = study.horizons.filter((years) => years <= curve);
  const late = study.horizons.filter((years) => years > curve);
  const horizons = reached.length > 0 ? reached : [wholePart(seen)];
  const mainHorizon = horizons.includes(study.mainHorizon)
    ? study.mainHorizon
    : Math.max(...horizons);
  const restrictedMeanHorizon = study.restrictedMeanHorizon <= seen
    ? study.restrictedMeanHorizon
    : Math.max(wholePart(seen), ...horizons.filter((years) => years <= seen));
  const years = (value: number) => `${formatNumber(value)} ${value === 1 ? "year" : "years"}`;
  const changes: string[] = [];
  if (late.length > 0) {
    changes.push(
      `The plan asks for results ${listText(late.map(String))} years after operation. In one of ` +
        `the groups nobody was followed so long: no result is stated there.`,
    );
  }
  if (reached.length === 0) {
    changes.push(
      `Results are stated at ${years(mainHorizon)} instead, which the plan does not name.`,
    );
  } else if (mainHorizon !== study.mainHorizon) {
    changes.push(
      `The main answer is stated at ${
        years(mainHorizon)
      }, the last planned time that both groups ` +
        `were followed to.`,
    );
  }
  if (restrictedMeanHorizon !== study.restrictedMeanHorizon) {
    changes.push(
      `Years of life are counted within the first ${years(restrictedMeanHorizon)}, not ` +
        `${study.restrictedMeanHorizon} as planned: nobody in one of the groups was followed longer.`,
    );
  }
  return { study: { ...study, horizons, mainHorizon, restrictedMeanHorizon }, changes };
}

/** Years to which somebody in both groups was seen, and to which both curves are known. */
function followedTo(analysis: Analysis): { seen: number; curve: number } {
  const { time, event, treated } = followUpOf(analysis, "death");
  const ends = [1, 0].map((arm) => {
    let last = 0;
    time.forEach((years, i) => {
      if (treated[i] === arm) last = Math.max(last, years);
    });
    // a curve that reached 0 stays there
    const alive = time.some((years, i) => treated[i] === arm && event[i] === 0 && years === last);
    return { seen: last, curve: alive ? last : Infinity };
  });
  return {
    seen: Math.min(...ends.map(({ seen }) => seen)),
    curve: Math.min(...ends.map(({ curve }) => curve)),
  };
}

/** The last whole year, or quarter of a year where there is no whole one. */
function wholePart(years: number): number {
  return years >= 1 ? Math.floor(years) : Math.max(Math.floor(4 * years) / 4, 1 / 12);
}
