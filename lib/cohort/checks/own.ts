import type { Study } from "../../study/file/mod.ts";
import { dictionaryColumn, isNumeric } from "../dictionary/mod.ts";
import { type Add, checkCode, type Known } from "./rules.ts";

/** Checks that columns of the study's own do not take the name of one of the dictionary's. */
export function checkOwnColumns(study: Study, add: Add): void {
  study.columns.forEach(({ name, table }, i) => {
    if (!dictionaryColumn(table, name)) return;
    add(`columns[${i}].name`, `"${name}" is the dictionary's: map the column of the file to it`);
  });
}

/** Checks where endpoints of the study's own are written. */
export function checkOwnEndpoints(study: Study, known: Known, add: Add): void {
  study.endpoints.forEach(({ event }, i) => {
    if (!event) return;
    const where = `endpoints[${i}].event`;
    const column = known(event.column);
    if (!column) add(`${where}.column`, `"${event.column}" is no column of the dictionary`);
    else for (const value of event.oneOf) checkCode(column, value, `${where}.oneOf`, add);
    if (column && column.stage !== "post-operative") {
      add(`${where}.column`, `"${event.column}" is ${column.stage}: it is no outcome`);
    }
    if (event.day === undefined) return;
    const day = known(event.day);
    if (!day) add(`${where}.day`, `"${event.day}" is no column of the dictionary`);
    else if (!isNumeric(day)) add(`${where}.day`, `"${event.day}" has codes, not days`);
  });
}
