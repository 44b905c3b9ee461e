import { createHash } from "node:crypto";

/** SHA-256 of bytes or text, in hexadecimal. */
export function sha256(content: Uint8Array | string): string {
  return createHash("sha256").update(content).digest("hex");
}
