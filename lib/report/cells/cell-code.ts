import { readStatements, type Statement } from "./statements.ts";

/** What the code of one cell that shows something calls, itself and what it rests on. */
export interface CellCode {
  /** Names from the library, sorted: those its results were computed with. */
  library: string[];
}

/**
 * Follows each cell's results back through the notebook: the statements it runs, the names they
 * mention, the statements that gave those names, and so on. What a cell does not rest on is not
 * counted, so that a table names the methods behind its own numbers.
 *
 * @param cells The code of each code cell.
 * @returns One entry a cell, in order; a cell that cannot be parsed has an empty one.
 */
export function cellCode(cells: readonly string[]): CellCode[] {
  const statements = readStatements(cells);
  return cells.map((_, cell) => ({ library: libraryBehind(cell, statements) }));
}

function libraryBehind(cell: number, statements: readonly Statement[]): string[] {
  const own = statements.filter((statement) => statement.cell === cell);
  const shown = own.filter(({ shows }) => shows);
  const queue = shown.length > 0 ? [...shown] : [...own];
  const seen = new Set(queue);
  const library = new Set<string>();
  for (let statement = queue.pop(); statement; statement = queue.pop()) {
    for (const name of statement.library) library.add(name);
    const at = statements.indexOf(statement);
    for (const earlier of statements.slice(0, at)) {
      if (seen.has(earlier)) continue;
      if (!takesFrom(statement, earlier)) continue;
      seen.add(earlier);
      queue.push(earlier);
    }
  }
  return [...library].sort();
}

function takesFrom({ parts }: Statement, earlier: Statement): boolean {
  const given = new Set(earlier.parts.flatMap(({ declares }) => [...declares]));
  return parts.some(({ mentions }) => !mentions.isDisjointFrom(given));
}
