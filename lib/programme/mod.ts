export * from "./monitor/mod.ts";
export * from "./repair-rate/mod.ts";
