import type PDFDocument from "pdfkit";

/** What a PDF document writes until it is ended. */
export async function bytesOf(
  document: InstanceType<typeof PDFDocument>,
): Promise<Uint8Array<ArrayBuffer>> {
  const parts: Uint8Array<ArrayBuffer>[] = [];
  document.on("data", (part: Uint8Array) => parts.push(new Uint8Array(part)));
  await new Promise((resolve) => document.on("end", resolve));
  return new Uint8Array(await new Blob(parts).arrayBuffer());
}
