import { type Place, statusBadge } from "../page/mod.ts";
import type { Placed, TableItem } from "../model/mod.ts";
import { type GridCell, gridCells, gridVerdictWords, shortNames } from "../pair-tables/mod.ts";
import { groupPhrases } from "../../study/plan/mod.ts";
import { countText } from "../../words/mod.ts";
import { type Content, type Element, h } from "../tree/mod.ts";
import { intervalMark, reachOf } from "./interval-mark.ts";
import { columnLabel, frontTable } from "./front-table.ts";

/**
 * The grid of the first page: a row a population, a column an endpoint, whole patients of 100 in
 * both groups with the difference and what it allows to be said.
 */
export function gridTree(placed: Placed<TableItem>, place: Place): Element {
  const { item } = placed;
  const cells = gridCells(item);
  const populations = [...new Set(cells.map(({ population }) => population))];
  const endpoints = [...new Set(cells.map(({ endpoint }) => endpoint))];
  const [first, second] = [columnLabel(item, "first"), columnLabel(item, "second")];
  const reach = reachOf(cells);
  const planned = cells.every(({ status }) => status === "planned");
  const isNone = cells.some(({ printed }) => printed?.first === "0" || printed?.second === "0");
  const head = endpoints.map((endpoint) => {
    const cell = cells.find((one) => one.endpoint === endpoint);
    return h("th", { scope: "col" }, cell?.quantity ?? endpoint);
  });
  const rows = populations.map((population) => {
    const own = cells.filter((cell) => cell.population === population);
    const [one] = own;
    return h(
      "tr",
      { class: one?.main && "main" },
      h(
        "th",
        { scope: "row" },
        populationTree(own, place),
        " ",
        h("span.unit.whole", {}, `n = ${sizeText(one?.patients ?? "")}`),
        one?.status === "exploratory" && [" ", statusBadge(one.status)],
      ),
      endpoints.map((endpoint) =>
        cellTree(own.find((cell) => cell.endpoint === endpoint), { endpoint, first, second, reach })
      ),
    );
  });
  return frontTable(
    item,
    h(
      "table.grid",
      {},
      h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "Patients"), head)),
      h("tbody", {}, rows),
    ),
    {
      over: `Of 100 patients, ${cells[0]?.years} years on: ${first} / ${second}.`,
      under:
        `Marks: the difference with its plausible range; right of the line, more after ${
          groupPhrases(place.model.study.groups).repair
        }.` + (planned ? " Every population was planned." : "") +
        (isNone ? " Where 0 stands, some would fit the data too." : ""),
    },
  );
}

/** A number of patients, or a bound where it is too small to publish. */
function sizeText(patients: number | string): string {
  return typeof patients === "number" ? countText(patients) : patients;
}

function populationTree(own: readonly GridCell[], place: Place): Content {
  const label = own[0]?.populationLabel ?? "";
  const figure = own.find(({ figureId }) =>
    place.model.items.figures.some(({ item }) => item.id === figureId)
  )?.figureId;
  return figure ? h("a", { href: place.href(`figure-${figure}`) }, label) : label;
}

function cellTree(
  cell: GridCell | undefined,
  { endpoint, first, second, reach }: {
    endpoint: string;
    first: string;
    second: string;
    reach: number;
  },
): Element {
  const of = { dataOf: cell?.quantity ?? endpoint };
  const words = gridVerdictWords(cell?.verdict ?? "too-few", shortNames(first, second));
  if (!cell?.printed) {
    return h("td.none", of, h("span.verdict", {}, words), ` ${cell?.why ?? ""}`);
  }
  const { difference, lower, upper, verdict, printed } = cell;
  return h(
    `td.${verdict}`,
    of,
    h("span.rates", { title: `${first} / ${second}` }, `${printed.first} / ${printed.second}`),
    difference !== null && lower !== null && upper !== null && [
      " ",
      intervalMark({ difference, lower, upper }, reach),
      h("span.change", {}, printed.change, " ", h("span.range", {}, `(${printed.range})`)),
    ],
    " ",
    h("span.verdict", {}, words),
  );
}
