import { join } from "node:path";
import { z } from "zod";

const lockSchema = z.object({
  specifiers: z.record(z.string(), z.string()),
  npm: z.record(
    z.string(),
    z.object({
      integrity: z.string(),
      dependencies: z.array(z.string()).optional(),
      optionalDependencies: z.array(z.string()).optional(),
      scripts: z.boolean().optional(),
    }),
  ),
});

/** The file that fixes every package, as far as it is read here. */
export type Lock = z.infer<typeof lockSchema>;

/** One package that the project rests on. */
export interface Package {
  name: string;
  version: string;
  /** SHA-512 of what the registry sent, in hexadecimal. */
  sha512: string;
  /** What its own `package.json` says, as one expression; undefined where that is not at hand. */
  licence: string | undefined;
  /** References of the packages it asks for. */
  dependsOn: string[];
  /** Whether it has a script that wants to run when it is installed. */
  hasScript: boolean;
}

/** Reads a lock file's text. */
export function parseLock(text: string): Lock {
  return lockSchema.parse(JSON.parse(text));
}

/** A package's address in a bill: the open package-URL form. */
export function packageUrl(name: string, version: string): string {
  return `pkg:npm/${name.replace("@", "%40")}@${version}`;
}

/**
 * Every package of a lock file, in order of name and version.
 *
 * @param licenceOf Reads the licence of a package that is at hand.
 */
export function packagesOf(
  lock: Lock,
  licenceOf: (name: string, version: string) => string | undefined,
): Package[] {
  const byName = new Map<string, string[]>();
  for (const key of Object.keys(lock.npm)) {
    const { name, version } = named(key);
    byName.set(name, [...byName.get(name) ?? [], version]);
  }
  const reference = (wanted: string): string[] => {
    const { name, version } = named(wanted.replace(/^.+@npm:/, ""));
    const versions = byName.get(name) ?? [];
    const found = version === "" && versions.length === 1 ? versions[0] : version;
    return found ? [packageUrl(name, found)] : [];
  };
  const packages = Object.entries(lock.npm).map(([key, entry]): Package => {
    const { name, version } = named(key);
    const wanted = [...entry.dependencies ?? [], ...entry.optionalDependencies ?? []];
    return {
      name,
      version,
      sha512: entry.integrity.startsWith("sha512-")
        ? Uint8Array.fromBase64(entry.integrity.slice("sha512-".length)).toHex()
        : "",
      licence: licenceOf(name, version),
      dependsOn: wanted.flatMap(reference).sort(),
      hasScript: entry.scripts ?? false,
    };
  });
  return packages.sort((a, b) =>
    a.name === b.name ? (a.version < b.version ? -1 : 1) : a.name < b.name ? -1 : 1
  );
}

/**
 * `name@version_what it was resolved with`, or a name alone, where a lock has one version of it.
 */
function named(key: string): { name: string; version: string } {
  const at = key.indexOf("@", 1);
  if (at < 0) return { name: key, version: "" };
  return { name: key.slice(0, at), version: key.slice(at + 1).split("_")[0] ?? "" };
}

/** The bill as CycloneDX 1.6 (ECMA-424): the same lock file gives the same bytes. */
export function billOfMaterials(
  project: { name: string; version: string; license: string },
  packages: readonly Package[],
  direct: readonly string[],
): string {
  const own = packageUrl(project.name, project.version);
  const bill = {
    bomFormat: "CycloneDX",
    specVersion: "1.6",
    version: 1,
    metadata: {
      component: {
        type: "library",
        "bom-ref": own,
        name: project.name,
        version: project.version,
        licenses: [{ license: { id: project.license } }],
      },
    },
    components: packages.map(({ name, version, sha512, licence }) => ({
      type: "library",
      "bom-ref": packageUrl(name, version),
      name,
      version,
      purl: packageUrl(name, version),
      ...(licence !== undefined && { licenses: [{ expression: licence }] }),
      ...(sha512 !== "" && { hashes: [{ alg: "SHA-512", content: sha512 }] }),
    })),
    dependencies: [
      { ref: own, dependsOn: [...direct].sort() },
      ...packages.map(({ name, version, dependsOn }) => ({
        ref: packageUrl(name, version),
        dependsOn,
      })),
    ],
  };
  return `${JSON.stringify(bill, null, 2)}\n`;
}

/** What the project itself asks for. */
export function directPackages(lock: Lock): string[] {
  return Object.entries(lock.specifiers).flatMap(([specifier, version]) => {
    const found = /^npm:(@?[^@]+)@/.exec(specifier)?.[1];
    return found ? [packageUrl(found, version.split("_")[0] ?? "")] : [];
  });
}

/** Reads licences from packages in a Deno folder, wherever they were fetched from. */
export function licencesIn(denoFolder: string) {
  const places = [...Deno.readDirSync(join(denoFolder, "npm"))].map(({ name }) =>
    join(denoFolder, "npm", name)
  );
  return (name: string, version: string): string | undefined => {
    for (const place of places) {
      try {
        const text = Deno.readTextFileSync(join(place, name, version, "package.json"));
        return licenceIn(JSON.parse(text));
      } catch {
        continue;
      }
    }
    return undefined;
  };
}

/** The licence a `package.json` names, in the present form or one of two older ones. */
export function licenceIn(
  { license, licenses }: { license?: unknown; licenses?: unknown },
): string | undefined {
  const one = (value: unknown): string | undefined =>
    typeof value === "string"
      ? value
      : typeof value === "object" && value !== null && "type" in value &&
          typeof value.type === "string"
      ? value.type
      : undefined;
  const several = Array.isArray(licenses) ? licenses.flatMap((value) => one(value) ?? []) : [];
  return one(license) ?? (several.length > 0 ? several.join(" OR ") : one(licenses));
}
