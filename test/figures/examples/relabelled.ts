import type { Figure } from "../../../lib/figures/drawing/figure.ts";

/** A figure with a way to draw it again under other names. */
export interface Example {
  /** The function that draws it. */
  by: string;
  figure: Figure;
  relabelled(name: (index: number) => string): Figure;
}

/** Where the words of a study stand in what figures are given. */
const labels = new Set(
  ("label xLabel yLabel axisLabel timeLabel riskHeading heading source interaction samples " +
    "directions states grades groups lines counts").split(" "),
);

/** Draws a figure, and keeps what it was drawn from. */
export function drawn<Options>(
  draw: (options: Options) => Figure,
  options: Options,
): Example {
  return {
    by: draw.name,
    figure: draw(options),
    relabelled(name) {
      let index = 0;
      const change = (value: unknown, key: string): unknown => {
        if (typeof value === "string") return labels.has(key) ? name(index++) : value;
        if (Array.isArray(value)) return value.map((item) => change(item, key));
        if (value === null || typeof value !== "object" || ArrayBuffer.isView(value)) return value;
        return Object.fromEntries(
          Object.entries(value).map(([inner, item]) => [inner, change(item, inner)]),
        );
      };
      return draw(change(options, "") as Options);
    },
  };
}
