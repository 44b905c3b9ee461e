import {
  type LaterColumn,
  openPacked,
  packColumns,
  type PackedColumn,
  type PackedSource,
} from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import {
  codeStore,
  heldAt,
  type HeldColumn,
  type HeldRows,
  type HeldTexts,
  lazyOf,
  numberStore,
  publishedColumns,
  stillHeld,
  withLazy,
} from "../cells/mod.ts";
import type { Cohort, Columns, Visits } from "../model/mod.ts";

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
  const packed: Record<string, PackedColumn | LaterColumn> = {};
  const hold = (table: string, columns: Columns, before = ""): Record<string, Said> =>
    Object.fromEntries(
      Object.keys(columns).map((name) => {
        const { column, rows } = heldColumn(columns, name);
        const values = valuesOf(column);
        // visits are put in their order one column at a time, when each is written
        packed[`${table} ${before}${name}`] = rows === undefined ? values : {
          like: values,
          length: rows.length,
          make: () => valuesOf(heldAt({ column, rows })),
        };
        return [
          before + name,
          "codes" in column ? { levels: column.levels } : { divisor: column.divisor },
        ];
      }),
    );
  const { visits, problems, log } = cohort;
  const about: About = {
    reading: readingOf(study),
    patients: hold("patients", cohort.columns),
    visits: {
      ...hold("visits", visits.columns),
      ...hold("visits", lazyOf(visits) ?? { day: visits.day, mr: visits.mr }, " "),
    },
    problems,
    log,
  };
  Object.assign(packed, packedIds(cohort));
  packed["offsets"] = visits.offsets;
  packed["invalid"] = cohort.invalid;
  yield* packColumns({ about, columns: packed });
}

/**
 * The cohort of some bytes from {@link cohortBytes}; its columns are read as they are asked for.
 *
 * @returns `undefined` where it was read under another mapping than the study's.
 * @throws {DataError} on other bytes.
 */
export function cohortFrom(source: PackedSource, study: Study): Cohort | undefined {
  const { about, column } = openPacked(source);
  const { reading, patients, visits, problems, log } = about as About;
  if (reading !== readingOf(study)) return undefined;
  const made = (table: string, said: Record<string, Said>) =>
    publishedColumns(
      new Map(
        Object.entries(said).map(([name, own]) => [
          name,
          later(() => rejoined(column(`${table} ${name}`), own)),
        ]),
      ),
    );
  const { " day": day, " mr": mr, ...others } = visits;
  const offsets = column("offsets") as Int32Array;
  const invalid = column("invalid") as Uint8Array;
  const cohort: Omit<Cohort, "ids"> = {
    n: invalid.length,
    columns: made("patients", patients),
    visits: withLazy(
      {
        count: offsets[offsets.length - 1] ?? 0,
        offsets,
        columns: made("visits", others),
      },
      made("visits ", { day: day!, mr: mr! }),
      ["day", "mr"],
    ) as Visits,
    invalid,
    problems,
    log,
  };
  const ids = later(() =>
    pseudonyms(column("ids") as Uint8Array, column("id lengths") as Int32Array)
  );
  return withLazy(cohort, publishedColumns(new Map([["ids", ids]])), ["ids"]) as Cohort;
}

/** A column that is read each time it is asked for: nothing is held meanwhile. */
function later(read: () => HeldColumn): HeldRows {
  return {
    get column() {
      return read();
    },
  };
}

type Plain = Exclude<HeldColumn, HeldTexts>;

function heldColumn(columns: Columns, name: string): { column: Plain; rows?: Int32Array } {
  const still = stillHeld(columns, name);
  const own = still?.column;
  if (own && !("pool" in own)) return { ...still, column: own };
  const column = columns[name]!;
  if (column instanceof Float64Array) {
    const store = numberStore();
    for (let i = 0; i < column.length; i++) store.put(column[i]!);
    return { column: store.finish() };
  }
  const store = codeStore();
  for (const text of column) store.put(store.codeOf(text));
  return { column: store.finish() };
}

function valuesOf(column: HeldColumn): PackedColumn {
  if ("pool" in column) throw new TypeError("a column of pseudonyms has no values");
  return "codes" in column ? column.codes : column.values;
}

/** Pseudonyms one after the other, and how long each is. */
function packedIds(cohort: Cohort): Record<"ids" | "id lengths", PackedColumn | LaterColumn> {
  const held = stillHeld(lazyOf(cohort) ?? {}, "ids")?.column;
  if (!held || !("pool" in held)) {
    return {
      "ids": new TextEncoder().encode(cohort.ids.join("")),
      "id lengths": Int32Array.from(cohort.ids, (id) => id.length),
    };
  }
  const { pool, places, lengths } = held;
  let length = 0;
  for (let row = 0; row < lengths.length; row++) length += lengths[row]!;
  const make = () => {
    const ids = new Uint8Array(length);
    for (let row = 0, at = 0; row < lengths.length; row++) {
      const place = places[row]!;
      for (let k = 0; k < lengths[row]!; k++) ids[at++] = pool[place + k]!;
    }
    return ids;
  };
  return {
    "ids": { like: pool, length, make },
    "id lengths": {
      like: new Int32Array(),
      length: lengths.length,
      make: () => Int32Array.from(lengths),
    },
  };
}

/** Pseudonyms as they lie in the bytes given, where each letter is one of them; else as text. */
function pseudonyms(pool: Uint8Array, lengths: Int32Array): HeldColumn {
  const places = new Uint32Array(lengths.length);
  let end = 0;
  for (let row = 0; row < lengths.length; row++) {
    places[row] = end;
    end += lengths[row]!;
  }
  if (end === pool.length) return { pool, places, lengths };
  const store = codeStore();
  const text = new TextDecoder().decode(pool);
  lengths.forEach((length, row) => {
    store.put(store.codeOf(text.slice(places[row]!, places[row]! + length)));
  });
  return store.finish();
}

function rejoined(values: PackedColumn, said: Said): HeldColumn {
  return "levels" in said
    ? { codes: values as Uint16Array | Uint32Array, levels: said.levels }
    : { values: values as Int16Array | Float64Array, divisor: said.divisor };
}
