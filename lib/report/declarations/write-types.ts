import { ownTypesCommand, packagesCommand } from "../guest/mod.ts";
import { projectFolder } from "../sandbox/mod.ts";
import { join, type LibraryTypes, toFileUrl } from "../notebooks/mod.ts";
import { compilerSettings, declaredIn, entries, makeFolders } from "./make-declarations.ts";

/**
 * Writes declared types to a folder, with the settings under which Deno's compiler and the
 * compiler's own program read them, and what that program does not know of: the types of Deno and
 * of packages.
 */
export async function writeTypes(
  folder: string,
  texts: ReadonlyMap<string, string>,
  { deno, quick, ownTypes }: LibraryTypes,
): Promise<void> {
  await makeFolders(folder, texts.keys());
  for (const [path, text] of texts) await Deno.writeTextFile(join(folder, path), text);
  const { imports, ...settings } = await compilerSettings();
  const runtime = toFileUrl(join(projectFolder, entries.runtime)).href;
  const declared = {
    mitral: `./${declaredIn(entries.library)}`,
    [runtime]: `./${declaredIn(entries.runtime)}`,
  };
  const { stdout } = await ownTypesCommand().output();
  await Deno.writeFile(ownTypes, stdout);
  const options = {
    ...settings.compilerOptions,
    ...plainOptions,
    paths: Object.fromEntries(Object.entries(declared).map(([name, path]) => [name, [path]])),
  };
  await Deno.writeTextFile(quick, JSON.stringify({ compilerOptions: options }));
  await layOutPackages(folder, imports, texts);
  // packages are those of the project
  await Deno.copyFile(join(projectFolder, "package.json"), join(folder, "package.json"));
  const config = { ...settings, imports: { ...imports, ...declared } };
  await Deno.writeTextFile(deno, JSON.stringify(config));
}

/** What Deno's compiler takes for granted. */
const plainOptions = {
  lib: ["esnext", "dom", "dom.iterable"],
  target: "esnext",
  module: "esnext",
  moduleResolution: "bundler",
  moduleDetection: "force",
  allowImportingTsExtensions: true,
  noEmit: true,
  // what a browser has is named both by the compiler and by Deno
  skipLibCheck: true,
  types: [],
};

/** Lays out the packages that the library's types name, where a compiler looks for them. */
async function layOutPackages(
  folder: string,
  imports: Readonly<Record<string, string>>,
  texts: ReadonlyMap<string, string>,
): Promise<void> {
  const whole = [...texts.values()].join("\n");
  const named = Object.entries(imports).filter(([name, target]) =>
    target.startsWith("npm:") && whole.includes(`"${name}"`)
  );
  const apart = join(folder, "packages");
  await Deno.mkdir(apart);
  await Deno.writeTextFile(
    join(apart, "deno.json"),
    JSON.stringify({ nodeModulesDir: "auto", imports: Object.fromEntries(named) }),
  );
  // in the versions of the project
  for (const name of ["deno.lock", "package.json"]) {
    await Deno.copyFile(join(projectFolder, name), join(apart, name));
  }
  const { success, stderr } = await packagesCommand(apart).output();
  if (!success) throw new Error(new TextDecoder().decode(stderr));
  await Deno.rename(join(apart, "node_modules"), join(folder, "node_modules"));
  await Deno.remove(apart, { recursive: true });
}
