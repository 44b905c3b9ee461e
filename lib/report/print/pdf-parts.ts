import fontPackage from "@expo-google-fonts/source-sans-3/package.json" with { type: "json" };
import type PDFDocument from "pdfkit";

/** The two weights that are printed. */
export interface Fonts {
  regular: Uint8Array<ArrayBuffer>;
  semibold: Uint8Array<ArrayBuffer>;
}

/** What a PDF document writes until it is ended. */
export async function bytesOf(
  document: InstanceType<typeof PDFDocument>,
): Promise<Uint8Array<ArrayBuffer>> {
  const parts: Uint8Array<ArrayBuffer>[] = [];
  document.on("data", (part: Uint8Array) => parts.push(new Uint8Array(part)));
  await new Promise((resolve) => document.on("end", resolve));
  return new Uint8Array(await new Blob(parts).arrayBuffer());
}

/** Source Sans 3 (SIL Open Font License), the face that drawings ask for first. */
export async function loadFonts(): Promise<Fonts> {
  const read = (name: string) =>
    Deno.readFile(new URL(import.meta.resolve(`${fontPackage.name}/${name}`)));
  return {
    regular: await read("400Regular/SourceSans3_400Regular.ttf"),
    semibold: await read("600SemiBold/SourceSans3_600SemiBold.ttf"),
  };
}
