import {
  checkWhole,
  DataError,
  inWorkers,
  SeededRandom,
  type SharedWork,
} from "../../numerics/mod.ts";
import {
  type ChainColumn,
  type ChainData,
  checkChainData,
  type CheckedData,
} from "./chain-data.ts";
import { type ChainResult, type GivenValues, runChain, type Trace } from "./run-chain.ts";

/** How to complete columns. */
export interface ImputeOptions {
  /** How many completed sets, each from a chain of its own. */
  sets: number;
  /** Where the random numbers begin: the same seed gives the same result. */
  seed: number;
  /** Default 10. */
  iterations?: number;
  /** Known values from which one is drawn for a number, default 5. */
  donors?: number;
  /** Default one a core where the work is worth them; 0 works everything out here. */
  workers?: number;
  /** Told how many sets are done. */
  onProgress?: (done: number, sets: number) => void;
}

/** Completed sets. */
export interface ImputedColumns {
  /** Rows. */
  n: number;
  /** The columns that had values missing. */
  columns: { name: string; kind: ChainColumn["kind"] }[];
  /** One a set: for each column with missing values the rows that had none and what they got. */
  sets: Record<string, GivenValues>[];
  /** By column, one a set: what its chain gave after each iteration. */
  traces: Record<string, Trace[]>;
  /** Where the random numbers begin: the same seed gives the same result. */
  seed: number;
  /** Steps that the search took. */
  iterations: number;
  /** How many nearest patients a value was drawn from. */
  donors: number;
  /** A column of a set in full, in the values it is written in; NaN where it does not apply. */
  completed(name: string, set: number): Float64Array;
}

/** What a worker needs: all that is plain. */
export interface ChainWork {
  data: ChainData;
  seed: number;
  iterations: number;
  donors: number;
}

/**
 * Multiple imputation by chained equations: completed sets of columns, each drawn from models of
 * the known values, with all that is uncertain of these models drawn too.
 *
 * Put into the columns everything the later analysis uses: treatment, covariates in their forms
 * (`derived`), and the outcome (see `outcomeColumns`); an imputation that leaves the outcome out
 * pulls its relation to the imputed columns towards none.
 *
 * Set s depends on the seed and s alone, so the result is the same whatever the number of workers.
 * Workers have the permissions of the program that starts them; reading the project is all they
 * need. Cost: sets x iterations x one model a column with missing values, over the number of cores.
 *
 * @example
 * ```ts ignore
 * import { imputeColumns } from "mitral";
 * const age = [61, 72, 70, 55, 68, 75, 64, 71, 58, 66, 73, 60];
 * const lvef = [60, 48, 55, 61, 44, 52, 58, 40, 63, 57, 49, 62];
 * const imputed = await imputeColumns({
 *   columns: [{ name: "age", kind: "number", values: age }, { name: "lvef", kind: "number", values: lvef }],
 * }, { sets: 20, seed: 1 });
 * imputed.completed("lvef", 0); // the first set's
 * ```
 * @throws {DataError} on columns of different lengths, with nothing known, or names not there.
 * @see van Buuren (2018) Flexible Imputation of Missing Data, 2nd ed., ch. 3-4; donors: Morris,
 * White & Royston (2014) BMC Med Res Methodol 14:75.
 */
export async function imputeColumns(
  data: ChainData,
  options: ImputeOptions,
): Promise<ImputedColumns> {
  const sets = checkWhole("sets", options.sets, 1);
  const iterations = checkWhole("iterations", options.iterations ?? 10, 1);
  const donors = checkWhole("donors", options.donors ?? 5, 1);
  const workers = checkWhole("workers", options.workers ?? navigator.hardwareConcurrency, 0);
  const { seed } = options;
  checkChainData(data);
  const work: ChainWork = { data, seed, iterations, donors };
  const { onProgress } = options;
  const results = await runChains(work, Array.from({ length: sets }, (_, set) => set), {
    workers,
    here: options.workers === undefined,
    ...(onProgress && { onProgress }),
  });
  return imputedColumns(work, results);
}

/**
 * Some chains of all that there are, each as it is whatever others are run beside it.
 *
 * @param sets Which.
 * @param options.here Whether the first are run here, and all of them where that hardly takes
 * longer than workers take to begin.
 */
export async function runChains(
  work: ChainWork,
  sets: readonly number[],
  { workers, here, onProgress }: {
    workers: number;
    here?: boolean;
    onProgress?: (done: number, all: number) => void;
  },
): Promise<ChainResult[]> {
  const results: ChainResult[] = [];
  let done = 0;
  const keep = (place: number, result: ChainResult) => {
    results[place] = result;
    onProgress?.(++done, sets.length);
  };
  const isAlone = workers === 0 || sets.length === 1;
  const shared: SharedWork<ChainWork, number, ChainResult> = {
    worker: new URL("./chain-worker.ts", import.meta.url),
    what: "impute missing values",
    setup: isAlone ? work : { ...work, data: inSharedMemory(work.data) },
    tasks: sets,
    workers: isAlone ? 0 : workers,
    ...((isAlone || here) && { here: chainOf(work) }),
  };
  await inWorkers<ChainWork, number, ChainResult>(shared, keep);
  return results;
}

/** The same columns where workers can read them without a copy apiece. */
function inSharedMemory(data: ChainData): ChainData {
  const columns = data.columns.map((column) => {
    const { values, applies } = column;
    const own = new Float64Array(new SharedArrayBuffer(8 * values.length));
    own.set(values);
    if (!applies) return { ...column, values: own };
    const places = new Uint8Array(new SharedArrayBuffer(applies.length));
    places.set(applies);
    return { ...column, values: own, applies: places };
  });
  return { ...data, columns };
}

/** Completed sets from their chains, run now or kept from before. */
export function imputedColumns(work: ChainWork, results: readonly ChainResult[]): ImputedColumns {
  const { data, seed, iterations, donors } = work;
  const sets = results.length;
  const names = Object.keys(results[0]!.given);
  let checked: CheckedData | undefined;
  return {
    n: data.columns[0]?.values.length ?? 0,
    columns: data.columns.filter(({ name }) => names.includes(name))
      .map(({ name, kind }) => ({ name, kind })),
    sets: results.map(({ given }) => given),
    traces: Object.fromEntries(names.map((name) => [name, results.map((r) => r.traces[name]!)])),
    seed,
    iterations,
    donors,
    completed(name, set) {
      checked ??= checkChainData(data);
      const column = checked.columns.find((own) => own.name === name);
      if (!column) throw new DataError("name", "a column that was given", name);
      const given = results[set]?.given[name];
      if (set < 0 || set >= sets) throw new DataError("set", `0 to ${sets - 1}`, set);
      const values = column.values.slice();
      given?.rows.forEach((row, k) => values[row] = given.values[k]!);
      return values;
    },
  };
}

/** The chain of any one set. */
export function chainOf(
  { data, seed, iterations, donors }: ChainWork,
): (set: number) => ChainResult {
  const checked = checkChainData(data);
  const random = new SeededRandom(seed);
  return (set) => runChain(checked, { iterations, donors, random: random.fork(set) });
}
