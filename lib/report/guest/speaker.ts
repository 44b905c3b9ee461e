/**
 * The voice of a notebook's process. It is made before any code of the notebook runs and uses
 * copies of the language's own functions taken then, so that whatever a notebook puts in their
 * places neither hears nor changes what is said.
 */
const { stringify } = JSON;
const encoder = new TextEncoder();
const encode = encoder.encode.bind(encoder);
const Bytes = Uint8Array;
const write = Deno.stdout.writeSync.bind(Deno.stdout);
const digits = "0123456789abcdef";
const bytesOfPassword = 16;

/** One line: the next password, a short head, and whatever the notebook showed as JSON. */
export interface Speaker {
  /**
   * @param head Names and numbers of the runtime's own making, in the order in which they are told.
   * @param shown Anything at all: it is put under `shown`, where it can pass for nothing else.
   */
  tell(head: readonly (readonly [string, string | number])[], shown?: unknown): void;
}

/**
 * @param passwords Each is used once, then wiped out. The caller keeps no copy.
 * @throws {Error} When they are used up.
 */
export function makeSpeaker(passwords: Uint8Array): Speaker {
  let used = 0;
  return {
    tell(head, shown) {
      // what cannot be written as JSON throws here, before a password is used
      const json = stringify(shown);
      if (used + bytesOfPassword > passwords.length) {
        throw new RangeError("no password is left");
      }
      let line = "";
      for (let k = 0; k < bytesOfPassword; k++) {
        const byte = passwords[used]!;
        passwords[used++] = 0;
        line += digits[byte >> 4]! + digits[byte & 15]!;
      }
      // a name or number alone is written without asking any object how
      let between = "{";
      for (let k = 0; k < head.length; k++) {
        line += `${between}${stringify(head[k]![0])}:${stringify(head[k]![1])}`;
        between = ",";
      }
      if (json !== undefined) line += `,"shown":${json}`;
      say(`${line}}\n`);
    },
  };
}

/** Bytes that were written so far. */
export let said = 0;

/** Writes text as it is. */
export function say(text: string): void {
  let bytes = encode(text);
  said += bytes.length;
  for (;;) {
    const sent = write(bytes);
    if (sent >= bytes.length) return;
    // copied one by one: the methods of arrays may be the notebook's by now
    const rest = new Bytes(bytes.length - sent);
    for (let k = 0; k < rest.length; k++) rest[k] = bytes[sent + k]!;
    bytes = rest;
  }
}

/** Everything on standard input: a line of text, and the bytes after it. */
export function readGreeting(): { line: string; rest: Uint8Array } {
  const chunks: Uint8Array[] = [];
  let length = 0;
  for (;;) {
    const chunk = new Uint8Array(65536);
    const read = Deno.stdin.readSync(chunk);
    if (read === null) break;
    chunks.push(chunk.subarray(0, read));
    length += read;
  }
  const all = new Uint8Array(length);
  let at = 0;
  for (const chunk of chunks) {
    all.set(chunk, at);
    at += chunk.length;
    chunk.fill(0);
  }
  const end = all.indexOf(10);
  return { line: new TextDecoder().decode(all.subarray(0, end)), rest: all.slice(end + 1) };
}
