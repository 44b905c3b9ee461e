import { type Place, statusBadge } from "../page/mod.ts";
import type { Placed, TableItem } from "../model/mod.ts";
import { type GridCell, gridCells } from "../tables/mod.ts";
import { type Content, type Element, h } from "../tree/mod.ts";
import { changeWords, rangeWords } from "./change-words.ts";
import { columnLabel, frontTable } from "./front-table.ts";

/**
 * The grid of the first page: a row a population, a column an endpoint, whole patients of 100 in both
 * groups with the difference and what it allows to be said.
 */
export function gridTree(placed: Placed<TableItem>, place: Place): Element {
  const { item } = placed;
  const cells = gridCells(item);
  const populations = [...new Set(cells.map(({ population }) => population))];
  const endpoints = [...new Set(cells.map(({ endpoint }) => endpoint))];
  const [first, second] = [columnLabel(item, "first"), columnLabel(item, "second")];
  const head = endpoints.map((endpoint) => {
    const cell = cells.find((one) => one.endpoint === endpoint);
    return h(
      "th",
      { scope: "col" },
      cell?.quantity ?? endpoint,
      h("span.unit", {}, ` at ${cell?.years} years`),
    );
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
        h("span.unit.whole", {}, `n = ${one?.patients ?? ""}`),
        one && [" ", statusBadge(one.status)],
      ),
      endpoints.map((endpoint) =>
        cellTree(own.find((cell) => cell.endpoint === endpoint), { endpoint, first, second })
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
    `First number ${first}, second ${second}. `,
  );
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
  words: { endpoint: string; first: string; second: string },
): Element {
  const of = { dataOf: cell?.quantity ?? words.endpoint };
  if (!cell || cell.first === null || cell.second === null) {
    return h("td.none", of, h("span.verdict", {}, verdicts["too-few"]), ` ${cell?.why ?? ""}`);
  }
  const { first, second, difference, lower, upper, verdict } = cell;
  return h(
    `td.${verdict}`,
    of,
    h("span.rates", { title: `${words.first} / ${words.second}` }, `${first} / ${second}`),
    difference !== null && lower !== null && upper !== null && [
      " ",
      h("span.change", {}, changeWords(difference)),
      " ",
      h("span.range", {}, `(${rangeWords(lower, upper)})`),
    ],
    " ",
    h("span.verdict", {}, verdicts[verdict]),
  );
}

const verdicts: Record<GridCell["verdict"], string> = {
  first: "better after repair",
  second: "better after replacement",
  alike: "no clear difference",
  uncertain: "not settled",
  "too-few": "too few",
};
