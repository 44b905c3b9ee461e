export async function inFolder(use: (folder: string) => Promise<void>): Promise<void> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    await use(folder);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

export const namesIn = (folder: string) =>
  [...Deno.readDirSync(folder)].map(({ name }) => name).sort();
