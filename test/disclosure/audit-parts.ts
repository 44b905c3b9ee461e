import type { Published } from "./published.ts";

export type Table = Published["tables"][number];
