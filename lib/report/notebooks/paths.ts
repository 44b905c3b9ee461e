export { basename, dirname, extname, join, relative, resolve } from "node:path";
import { pathToFileURL } from "node:url";

/** A path as a file URL. */
export function toFileUrl(path: string): URL {
  return pathToFileURL(path);
}
