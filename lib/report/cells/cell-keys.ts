import { Memory, sha256 } from "../../numerics/memory/mod.ts";
import { isPlain } from "./plain-code.ts";
import { readStatements, type StatementPart } from "./statements.ts";

/** What the results of a notebook's code cells follow from, as far as it is the notebook. */
export interface CellKeys {
  /**
   * One a code cell: a hash of its code and of all code that its names were given by. Where it is
   * the same, over the same study and with the same library, the cell shows the same.
   */
  keys: string[];
  /** The cells (from 0) that must run for some to run: these, and those whose names they take. */
  behind(cells: Iterable<number>): Set<number>;
}

/**
 * @param cells The code of each code cell.
 * @returns undefined where the code does more than give names to values and show them, so that what
 * a cell shows may follow from what another one did.
 */
export function cellKeys(cells: readonly string[]): CellKeys | undefined {
  return told.get(JSON.stringify(cells), () => readKeys(cells));
}

/** Asked for before a notebook runs, to see what has to, and when its run is kept. */
const told = new Memory<CellKeys | undefined>(100);

function readKeys(cells: readonly string[]): CellKeys | undefined {
  if (!isPlain(cells)) return undefined;
  const statements = readStatements(cells);
  const parts = statements.flatMap(({ cell, parts }) => parts.map((part) => ({ cell, ...part })));
  const giver = new Map(parts.flatMap((part) => [...part.declares].map((name) => [name, part])));
  const takenBy = (some: Iterable<StatementPart>) =>
    new Set([...some].flatMap(({ mentions }) => [...mentions].flatMap((n) => giver.get(n) ?? [])));
  const ofCell = (cell: number) => parts.filter((part) => part.cell === cell);
  const keyOf = (source: string, cell: number) => {
    const behind = reached(takenBy(ofCell(cell)), (part) => takenBy([part]));
    // in the notebook's order, for a name must be given before it is taken
    const before = parts.filter((part) => part.cell < cell && behind.has(part));
    const after = parts.filter((part) => part.cell > cell && behind.has(part));
    // two names taken out of one value are not those of two values that look alike
    const values = new Map([...before, ...after].map(({ value }) => [value, 0]));
    [...values.keys()].forEach((value, number) => values.set(value, number));
    const code = [before, after].map((some) =>
      some.map(({ value, code }) => [values.get(value), code])
    );
    return sha256(JSON.stringify([source, ...code]));
  };
  const givers = cells.map((_, cell) => {
    return new Set([...takenBy(ofCell(cell))].map((part) => part.cell));
  });
  return {
    keys: cells.map(keyOf),
    behind: (some) => reached(new Set(some), (cell) => givers[cell] ?? []),
  };
}

/** Some things, and all that is reached from them. */
function reached<Thing>(some: ReadonlySet<Thing>, next: (one: Thing) => Iterable<Thing>) {
  const all = new Set(some);
  // a set tells of what is put into it meanwhile
  for (const one of all) for (const other of next(one)) all.add(other);
  return all;
}
