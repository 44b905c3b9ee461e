import type { Attack } from "./attacks.ts";

/**
 * Tried after the others had been mended; none worked. Files of the machine that must not be read.
 */
const outside = "/etc/hostname";

const asks = (cell: string, says: RegExp): Attack => ({ cell, says });
const neither = /which lies neither in the project nor beside the notebooks/;

/** What a second cell of three tries: imports of every kind, stores, sockets, floods. */
export const moreAttacks: Record<string, Attack> = {
  "imports-text": asks(`import t from "${outside}" with { type: "text" };\nt`, neither),
  "imports-bytes": asks(`import t from "${outside}" with { type: "bytes" };\nt`, neither),
  "imports-json": asks('import t from "/etc/secret.json" with { type: "json" };\nt', neither),
  "imports-text-later": asks(
    `const t = await import("${outside}", { with: { type: "text" } });\nt.default`,
    neither,
  ),
  "imports-a-template": asks(
    'const t = await import(`/etc/secret.json`, { with: { type: "json" } });\nt.default',
    neither,
  ),
  "imports-what-is-put-together": asks(
    'const name = ["/etc/secret", "json"].join(".");\n' +
      'const t = await import(name, { with: { type: "json" } });\nt.default',
    /read access/,
  ),
  "imports-types-of-a-file": asks(
    `// @ts-types="${outside}"\nimport * as own from "./own.ts";\nown.a`,
    neither,
  ),
  "requires-a-file": asks(
    'import { createRequire } from "node:module";\n' +
      'createRequire(import.meta.url)("/etc/secret.json")',
    /read access/,
  ),
  "starts-a-file-as-worker": {
    cell: `const worker = new Worker("file://${outside}", { type: "module" });\n` +
      "const said: string = await new Promise((resolve) => {\n" +
      "  worker.onerror = (event) => {\n    event.preventDefault();\n    resolve(event.message);\n  };\n" +
      '});\nsaid.includes("read access")',
    shows: "true",
  },
  "asks-for-a-worker's-rights": asks(
    'const options = { type: "module", deno: { permissions: { read: true } } };\n' +
      'new Worker("data:application/javascript,1", options as WorkerOptions);\n' +
      "await new Promise((resolve) => setTimeout(resolve, 1000));",
    /stopped before its end|unstable-worker-options/,
  ),
  "keeps-keys-and-values": asks('await Reflect.get(Deno, "openKv")();', /not a function/),
  "keeps-a-database": asks(
    'import { DatabaseSync } from "node:sqlite";\nnew DatabaseSync("/tmp/kept.db");',
    /(read|write) access/,
  ),
  "attaches-a-database": asks(
    'import { DatabaseSync } from "node:sqlite";\n' +
      'new DatabaseSync(":memory:").exec("attach database \'/tmp/kept.db\' as kept");',
    /attached databases|access/,
  ),
  "loads-an-extension": asks(
    'import { DatabaseSync } from "node:sqlite";\n' +
      'new DatabaseSync(":memory:", { allowExtension: true }).loadExtension("libc.so.6");',
    /ffi access/,
  ),
  "ends-its-parent": asks('Deno.kill(Deno.ppid, "SIGKILL");', /run access/),
  "goes-elsewhere": asks('Deno.chdir("/");', /read access/),
  "opens-a-socket": asks('new WebSocket("ws://127.0.0.1:9/");', /net access/),
  "asks-for-a-name": asks(
    'import dns from "node:dns/promises";\nawait dns.lookup("localhost");',
    /EPERM|net access/,
  ),
  "sends-a-datagram": asks(
    'import dgram from "node:dgram";\nconst socket = dgram.createSocket("udp4");\n' +
      "await new Promise((resolve, reject) => {\n" +
      '  socket.on("error", reject);\n  socket.send("row", 9, "127.0.0.1", resolve);\n});',
    /net access|stopped before its end/,
  ),
  "opens-an-inspector": asks(
    'import inspector from "node:inspector";\ninspector.open(9229);',
    /access/,
  ),
  "reads-the-environment": {
    cell: 'import process from "node:process";\nObject.keys(process.env).length',
    shows: "0",
  },
  "floods-without-an-end-of-line": asks(
    "const block = new Uint8Array(1e6).fill(65);\n" +
      "for (let k = 0; k < 400; k++) Deno.stdout.writeSync(block);",
    /more than 16 million letters at once/,
  ),
  "floods-where-nobody-listens": {
    cell: "const block = new Uint8Array(1e6).fill(65);\n" +
      "for (let k = 0; k < 400; k++) Deno.stderr.writeSync(block);\n2",
    shows: "2",
  },
};
