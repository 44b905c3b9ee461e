import { readFileText } from "../../study/file/mod.ts";
import { isAbsolute, relative, resolve } from "node:path";
import { ProblemsError } from "../../study/problems/mod.ts";

/** Makes the pseudonyms of record numbers: the same for the same key, told by nobody without it. */
export type Pseudonymizer = (ids: readonly string[]) => Promise<string[]>;

// consonants only: never a word, a number, a date or a code of any register
const letters = "bcdfghjkmnpqrstvwxz";
/** Letters of a pseudonym. */
export const pseudonymLength = 14;
const keyBytes = 32;

/**
 * Keyed pseudonyms: HMAC-SHA-256 of the record number, written as 14 consonants (about 59 bits, so
 * that two of a million patients share one with a chance below one in a million).
 *
 * @param key At least 32 bytes, as {@link openKey} gives them.
 */
export async function pseudonymizer(key: Uint8Array<ArrayBuffer>): Promise<Pseudonymizer> {
  const algorithm = { name: "HMAC", hash: "SHA-256" };
  const secret = await crypto.subtle.importKey("raw", key, algorithm, false, ["sign"]);
  const encoder = new TextEncoder();
  const pseudonymOf = async (id: string) => {
    const text = encoder.encode(`mitral patient ${id.trim().normalize("NFC")}`);
    return written(new Uint8Array(await crypto.subtle.sign("HMAC", secret, text)));
  };
  return async (ids) => {
    const names: string[] = [];
    // some at a time: a promise for each of a million would fill the memory
    for (let from = 0; from < ids.length; from += idsAtOnce) {
      names.push(...await Promise.all(ids.slice(from, from + idsAtOnce).map(pseudonymOf)));
    }
    return names;
  };
}

const idsAtOnce = 256;

function written(hash: Uint8Array): string {
  // two halves of seven letters: each fits a number
  const number = BigInt(`0x${hash.toHex()}`);
  const half = BigInt(letters.length) ** 7n;
  return lettersOf(Number(number % half)) + lettersOf(Number(number / half % half));
}

/** The seven lowest digits of a number as letters, the lowest first. */
function lettersOf(number: number): string {
  let name = "";
  for (let k = 0; k < pseudonymLength / 2; k++) {
    name += letters[number % letters.length];
    number = Math.floor(number / letters.length);
  }
  return name;
}

/**
 * Reads a key of 32 bytes or more in hexadecimal, or makes one, for its owner's eyes only.
 *
 * @throws {ProblemsError} if the key would lie in the output folder, where it would travel with the
 * data it protects, or if the file holds no key.
 */
export async function openKey(path: string, out: string): Promise<Uint8Array<ArrayBuffer>> {
  if (await isInside(path, out)) {
    throw refused("the key file lies in the output folder", "keep it where the data do not go");
  }
  try {
    const text = (await readFileText(path)).trim();
    if (!/^([0-9a-f]{2})+$/i.test(text) || text.length < 2 * keyBytes) {
      throw refused(
        "the key file holds no key",
        `it must hold ${2 * keyBytes} hexadecimal digits or more; name a new file to have one made`,
      );
    }
    return Uint8Array.fromHex(text);
  } catch (error) {
    if (!(error instanceof Deno.errors.NotFound)) throw error;
  }
  const key = crypto.getRandomValues(new Uint8Array(keyBytes));
  await Deno.writeTextFile(path, `${key.toHex()}\n`, { createNew: true, mode: 0o600 });
  return key;
}

/** Whether a path lies in a folder, links followed as far as they exist. */
async function isInside(path: string, folder: string): Promise<boolean> {
  const between = relative(await real(folder), await real(path));
  return between === "" || (!between.startsWith("..") && !isAbsolute(between));
}

async function real(path: string): Promise<string> {
  const whole = resolve(path);
  try {
    return await Deno.realPath(whole);
  } catch (error) {
    if (!(error instanceof Deno.errors.NotFound)) throw error;
    const parent = resolve(whole, "..");
    return parent === whole ? whole : resolve(await real(parent), relative(parent, whole));
  }
}

function refused(what: string, remedy: string): ProblemsError {
  return new ProblemsError("de-identify", [{ where: "key", what: `${what}; ${remedy}` }]);
}
