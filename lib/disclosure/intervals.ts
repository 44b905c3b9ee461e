/** A table of counts with its margins: the last row and the last column hold the totals. */
export type MarginTable = readonly (readonly number[])[];

/** Which cells of a {@link MarginTable} are hidden. */
export type HiddenCells = readonly (readonly boolean[])[];

/**
 * What a reader can work out of one hidden count: the least and the most it can be, given every
 * count that is shown, that rows and columns add up, and that no count is negative.
 *
 * Exact, by maximum flow: margins make a table a network, in which a count can rise by as much as
 * can flow back through the other hidden ones. `high` is Infinity where nothing bounds it.
 * Cost: O(hidden cells of the table squared) at worst, for tables of print size.
 *
 * @see Gusfield (1988) SIAM J Comput 17:552, "A graph theoretic approach to statistical data
 * security".
 */
export function feasibleInterval(
  table: MarginTable,
  hidden: HiddenCells,
  [row, column]: readonly [number, number],
): { low: number; high: number } {
  const value = table[row]?.[column] ?? 0;
  if (!hidden[row]?.[column]) return { low: value, high: value };
  const rows = table.length;
  const columns = table[0]?.length ?? 0;
  const size = rows + columns;
  const capacity = new Float64Array(size * size);
  for (let i = 0; i < rows; i++) {
    for (let j = 0; j < columns; j++) {
      if (!hidden[i]?.[j] || (i === row && j === column)) continue;
      const count = table[i]?.[j] ?? 0;
      const plus = (i === rows - 1) === (j === columns - 1);
      // a total counts against its row or column, so that every row and column adds up to nothing
      capacity[i * size + rows + j] = plus ? Infinity : count;
      capacity[(rows + j) * size + i] = plus ? count : Infinity;
    }
  }
  const plus = (row === rows - 1) === (column === columns - 1);
  const ends: [number, number] = plus ? [rows + column, row] : [row, rows + column];
  const up = maximumFlow(capacity.slice(), size, ends);
  const down = maximumFlow(capacity, size, [ends[1], ends[0]]);
  return { low: value - Math.min(value, down), high: value + up };
}

/** Maximum flow by shortest augmenting paths (Edmonds and Karp 1972). Uses up `capacity`. */
function maximumFlow(
  capacity: Float64Array,
  size: number,
  [from, to]: readonly [number, number],
): number {
  let flow = 0;
  for (;;) {
    const before = new Int32Array(size).fill(-1);
    const queue = [from];
    before[from] = from;
    for (let k = 0; k < queue.length && before[to]! < 0; k++) {
      const node = queue[k]!;
      for (let next = 0; next < size; next++) {
        if (before[next]! >= 0 || !(capacity[node * size + next]! > 0)) continue;
        before[next] = node;
        queue.push(next);
      }
    }
    if (before[to]! < 0) return flow;
    let most = Infinity;
    for (let node = to; node !== from; node = before[node]!) {
      most = Math.min(most, capacity[before[node]! * size + node]!);
    }
    if (most === Infinity) return Infinity;
    for (let node = to; node !== from; node = before[node]!) {
      capacity[before[node]! * size + node]! -= most;
      capacity[node * size + before[node]!]! += most;
    }
    flow += most;
  }
}
