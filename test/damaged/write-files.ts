/**
 * Writes the damaged files anew:
 *
 *     deno run --allow-write=test/damaged test/damaged/write-files.ts
 *
 * @module
 */
import { damagedFiles, soundFiles } from "./cases.ts";

const all: [string, Uint8Array][] = [
  ...Object.entries(soundFiles),
  ...damagedFiles.map(({ name, content }): [string, Uint8Array] => [name, content]),
];
for (const [name, content] of all) {
  await Deno.writeFile(new URL(`files/${name}`, import.meta.url), content);
}
