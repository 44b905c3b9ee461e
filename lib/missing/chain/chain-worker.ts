/**
 * What runs in a worker of `imputeColumns`: told once what to complete, then which set.
 *
 * @module
 */
import { answerTasks } from "../../numerics/mod.ts";
import { chainOf, type ChainWork } from "./impute-columns.ts";
import type { ChainResult } from "./run-chain.ts";

answerTasks<ChainWork, number, ChainResult>((work) => chainOf(work));
