/** What resampling needs: seeded random numbers, and work shared among threads. @module */
export { answerTasks, inWorkers, type SharedWork } from "./in-workers.ts";
export { drawnRows, ENOUGH } from "./drawn-rows.ts";
export { fewerOfMany, MANY } from "./fewer-of-many.ts";
export { SeededRandom } from "./random.ts";
export { WaitingWorker } from "./waiting-worker.ts";
