export { join } from "node:path";
import { resolve as absolute } from "node:path";
import { pathToFileURL } from "node:url";

/** An absolute path from one relative to where the command was given. */
export function resolve(path: string): string {
  return absolute(path);
}

/** The file URL of a path. */
export function toFileUrl(path: string): string {
  return pathToFileURL(path).href;
}
