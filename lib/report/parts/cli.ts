import { countedProgress, openStudy, writeOwnFile } from "../../study/file/mod.ts";
import { commandLine, messageOf, studyOptions, taskLine } from "../../study/command-line/mod.ts";
import { projectFolder } from "../sandbox/mod.ts";
import { basename, join, resolve } from "../notebooks/mod.ts";
import { originOf, type PartKind, partKinds, partName, partText, whyOther } from "./part-file.ts";
import { missingParts, partsAtHand, partsFolder, readParts } from "./parts-at-hand.ts";
import { linesOfPart } from "./work-out.ts";

const usage = `Works out one part of what takes a report longest, as one job of an array.

  deno task replicates --part K/N [--of sets|limits] [--study FILE] [--cohort FILE]
                       [--visits FILE] [--out DIR] [--workers N]

  --part K/N     which part, of how many: 3/40
  --of limits    the whole procedure repeated on patients drawn anew (default)
  --of sets      completed sets, where the plan imputes; do these first, for the limits rest on them
  --study FILE   study file (default: data-demo/study.json)
  --cohort FILE  patients table, in place of the one the study file names
  --visits FILE  echo visits table, in place of the one the study file names
  --out DIR      the report's folder (default: out/<study name>); parts lie hidden beside it
  --workers N    how many cores (default: all of the machine)

Any scheduler will do: parts need no order and nothing of each other, only the same files. Once all
are there, deno task report uses them, and comes out the same to the last bit. A part of another
plan, other tables or another version of the library is not used.
Exit code: 0 the part is there; 2 it is not.
`;

/** Runs the command; the result is its exit code. */
async function main(args: readonly string[]): Promise<number> {
  const line = commandLine(args, {
    usage,
    options: {
      ...studyOptions,
      part: { type: "string" },
      of: { type: "string" },
      out: { type: "string" },
      workers: { type: "string" },
    },
  });
  if ("code" in line) return line.code;
  const { study: path, cohort, visits, part: asked, of: kind = "limits", out } = line.values;
  const place = placeOf(asked);
  const workers = Number(line.values.workers ?? navigator.hardwareConcurrency);
  const problem = !place
    ? `--part must be a part and how many there are, such as 3/40; got ${asked ?? "nothing"}`
    : !isKind(kind)
    ? `--of must be ${partKinds.join(" or ")}, got ${kind}`
    : !Number.isInteger(workers) || workers < 1
    ? `--workers must be a whole number above 0, got ${line.values.workers}`
    : undefined;
  if (problem !== undefined || !place || !isKind(kind)) {
    console.error(`${problem}\n\n${usage}`);
    return 2;
  }
  const run = {
    ...(path && { study: resolve(path) }),
    ...(cohort && { cohort: resolve(cohort) }),
    ...(visits && { visits: resolve(visits) }),
  };
  try {
    Reflect.set(globalThis, Symbol.for("mitral.run"), run);
    const study = await openStudy();
    const folder = partsFolder(resolve(out ?? join(projectFolder, "out", study.name)));
    const origin = await originOf(study);
    for (const [name, other] of await readParts(folder)) {
      const why = other && other.kind === kind && whyOther(other.origin, origin);
      if (!why) continue;
      console.error(
        `${name} in ${folder} is ${why}: parts of two plans do not go together. Remove that ` +
          "folder, or choose another report's folder with --out.",
      );
      return 2;
    }
    await Deno.mkdir(folder, { recursive: true, mode: 0o700 });
    const name = partName({ kind, ...place });
    // sets made before this, for limits that rest on them
    const { sets } = kind === "limits" ? await partsAtHand(folder, origin) : {};
    const completed = join(folder, `${name}.sets`);
    let lines: string[];
    try {
      if (sets !== undefined) {
        await Deno.writeTextFile(completed, sets, { mode: 0o600 });
        Reflect.set(globalThis, Symbol.for("mitral.run"), { ...run, completed });
      }
      lines = await linesOfPart(study, kind, place, {
        workers,
        onProgress: (what) => countedProgress(what),
      });
    } finally {
      if (sets !== undefined) await Deno.remove(completed).catch(() => {});
    }
    const target = join(folder, name);
    await writeOwnFile(target, partText({ kind, ...place, origin, lines }));
    const there = [...(await readParts(folder)).values()].filter((one) =>
      one !== null && one.kind === kind && one.of === place.of && !whyOther(one.origin, origin)
    ).flatMap((one) => one ?? []);
    const missing = missingParts(there, place.of);
    console.log(`Part        ${target}`);
    console.log(
      missing.length > 0
        ? `\n${there.length} of ${place.of} parts are there. Next: part ${missing[0]}/${place.of}`
        : `\nAll ${place.of} parts are there. Next: ${
          taskLine("report", { study: path, cohort, visits, out })
        }`,
    );
    return 0;
  } catch (error) {
    console.error(`Part ${asked} of ${basename(path ?? "the demonstration")}: ${messageOf(error)}`);
    return 2;
  }
}

function placeOf(text: string | undefined): { part: number; of: number } | undefined {
  const [, part, of] = /^(\d+)\/(\d+)$/.exec(text ?? "")?.map(Number) ?? [];
  if (part === undefined || of === undefined) return undefined;
  return part >= 1 && part <= of ? { part, of } : undefined;
}

function isKind(text: string): text is PartKind {
  return partKinds.some((kind) => kind === text);
}

if (import.meta.main) Deno.exit(await main(Deno.args));
