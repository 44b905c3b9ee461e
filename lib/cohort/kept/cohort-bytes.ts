import { packColumns, type PackedColumn, unpackColumns } from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import {
  codeStore,
  type HeldColumn,
  numberStore,
  publishedColumns,
  stillHeld,
} from "../cells/mod.ts";
import type { Cohort, Columns } from "../model/mod.ts";

/** All that a cohort follows from beside its two files. */
function readingOf(study: Study): string {
  const { mapping, columns, files, timeZero, export: exported } = study;
  return JSON.stringify({ mapping, columns, files, timeZero, exported: exported !== undefined });
}

/** What is said of a column beside its values. */
type Said = { divisor: number } | { levels: string[] };

interface About {
  reading: string;
  patients: Record<string, Said>;
  visits: Record<string, Said>;
  problems: Cohort["problems"];
  log: Cohort["log"];
}

/**
 * A cohort as bytes: numbers in two bytes where they were measured to the hundredth, text as codes.
 * {@link cohortFrom} gives the same cohort back, to the last bit.
 *
 * @returns The pieces, in order.
 */
export function* cohortBytes(cohort: Cohort, study: Study): Generator<Uint8Array> {
  const packed: Record<string, PackedColumn> = {};
  const hold = (table: string, columns: Columns): Record<string, Said> =>
    Object.fromEntries(
      Object.keys(columns).map((name) => {
        const held = heldColumn(columns, name);
        packed[`${table} ${name}`] = "codes" in held ? held.codes : held.values;
        return [name, "codes" in held ? { levels: held.levels } : { divisor: held.divisor }];
      }),
    );
  const { visits, problems, log } = cohort;
  const about: About = {
    reading: readingOf(study),
    patients: hold("patients", cohort.columns),
    visits: {
      ...hold("visits", visits.columns),
      ...hold("visits", { " day": visits.day, " mr": visits.mr }),
    },
    problems,
    log,
  };
  packed["ids"] = new TextEncoder().encode(cohort.ids.join(""));
  packed["id lengths"] = Int32Array.from(cohort.ids, (id) => id.length);
  packed["offsets"] = visits.offsets;
  packed["invalid"] = cohort.invalid;
  yield* packColumns({ about, columns: packed });
}

/**
 * The cohort of some bytes from {@link cohortBytes}; its columns are made as they are asked for.
 *
 * @returns `undefined` where it was read under another mapping than the study's.
 * @throws {DataError} on other bytes.
 */
export function cohortFrom(bytes: Uint8Array<ArrayBuffer>, study: Study): Cohort | undefined {
  const { about, columns: packed } = unpackColumns(bytes);
  const { reading, patients, visits, problems, log } = about as About;
  if (reading !== readingOf(study)) return undefined;
  const made = (table: string, said: Record<string, Said>) =>
    publishedColumns(
      new Map(
        Object.entries(said).map(([name, own]) => [
          name,
          () => rejoined(packed[`${table} ${name}`]!, own),
        ]),
      ),
    );
  const { " day": _day, " mr": _mr, ...others } = visits;
  const ofVisits = made("visits", visits) as Record<string, Float64Array>;
  const offsets = packed["offsets"] as Int32Array;
  return {
    n: packed["invalid"]!.length,
    ids: pieces(packed["ids"] as Uint8Array, packed["id lengths"] as Int32Array),
    columns: made("patients", patients),
    visits: {
      count: offsets[offsets.length - 1] ?? 0,
      offsets,
      get day() {
        return ofVisits[" day"]!;
      },
      get mr() {
        return ofVisits[" mr"]!;
      },
      columns: made("visits", others),
    },
    invalid: packed["invalid"] as Uint8Array,
    problems,
    log,
  };
}

function heldColumn(columns: Columns, name: string): Exclude<HeldColumn, string[]> {
  const still = stillHeld(columns, name);
  if (still && !Array.isArray(still)) return still;
  const column = columns[name]!;
  if (column instanceof Float64Array) {
    const store = numberStore();
    for (let i = 0; i < column.length; i++) store.put(column[i]!);
    return store.finish();
  }
  const store = codeStore();
  for (const text of column) store.put(store.codeOf(text));
  return store.finish();
}

function rejoined(values: PackedColumn, said: Said): HeldColumn {
  return "levels" in said
    ? { codes: values as Uint16Array | Uint32Array, levels: said.levels }
    : { values: values as Int16Array | Float64Array, divisor: said.divisor };
}

function pieces(bytes: Uint8Array, lengths: Int32Array): string[] {
  const text = new TextDecoder().decode(bytes);
  let at = 0;
  return Array.from(lengths, (length) => text.slice(at, at += length));
}
