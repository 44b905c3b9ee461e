/**
 * What runs in a worker of `studyPaths`: told the units once, then which to work out.
 *
 * @module
 */
import { answerTasks } from "../../numerics/mod.ts";
import { type PathUnit, type UnitAnswer, unitAnswers } from "./path-unit.ts";

answerTasks<PathUnit[], number, UnitAnswer[]>((units) => (place) => unitAnswers(units[place]!));
