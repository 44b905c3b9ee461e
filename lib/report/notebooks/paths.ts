export { basename, dirname, extname, join, relative, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

/** A file URL as a path of this system. */
export function fromFileUrl(url: URL | string): string {
  return fileURLToPath(url);
}

/** A path as a file URL. */
export function toFileUrl(path: string): URL {
  return pathToFileURL(path);
}
