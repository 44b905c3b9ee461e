import type { ChainResult, GivenValues, Trace } from "../chain/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import type { CompletedSets } from "./completed-sets.ts";

/** The chains of completed sets as text, for a file that other processes of a run read. */
export function keptChains({ imputed }: CompletedSets): string {
  if (!imputed) return joinedChains([]);
  return joinedChains(imputed.sets.map((given, k) =>
    chainText({
      given,
      traces: Object.fromEntries(
        Object.entries(imputed.traces).map(([name, traces]) => [name, traces[k]!]),
      ),
    })
  ));
}

/** One chain as a line of text. */
export function chainText({ given, traces }: ChainResult): string {
  return JSON.stringify(
    { given, traces },
    (_, value) => ArrayBuffer.isView(value) ? Array.from(value as Float64Array) : value,
  );
}

/** Chains in their order, each from {@link chainText}, as {@link keptChains} writes them. */
export function joinedChains(chains: readonly string[]): string {
  return `[${chains.join(",")}]`;
}

/** The chains of a text that {@link keptChains} wrote. @throws {DataError} on any other text. */
export function chainsFrom(text: string): ChainResult[] {
  const chains: unknown = JSON.parse(text);
  if (!Array.isArray(chains)) throw new DataError("chains", "a list", chains);
  return chains.map(({ given, traces }) => ({
    given: eachOf<GivenValues>(given, ({ rows, values }) => ({
      rows: Int32Array.from(rows),
      values: numbers(values),
    })),
    traces: eachOf<Trace>(traces, ({ mean, spread }) => ({
      mean: numbers(mean),
      spread: numbers(spread),
    })),
  }));
}

type Plain<Value> = { [Name in keyof Value]: number[] };

function eachOf<Value>(
  entries: Record<string, Plain<Value>>,
  of: (entry: Plain<Value>) => Value,
): Record<string, Value> {
  return Object.fromEntries(Object.entries(entries).map(([name, entry]) => [name, of(entry)]));
}

/** What is not a number has no way to be written, and comes back as null. */
function numbers(values: readonly (number | null)[]): Float64Array {
  return Float64Array.from(values, (value) => value ?? NaN);
}
