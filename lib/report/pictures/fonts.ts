import fontPackage from "@expo-google-fonts/source-sans-3/package.json" with { type: "json" };

/** The two weights that are printed. */
export interface Fonts {
  regular: Uint8Array<ArrayBuffer>;
  semibold: Uint8Array<ArrayBuffer>;
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
