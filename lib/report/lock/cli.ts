import { readCohort } from "../../cohort/mod.ts";
import { readingLines } from "../../cohort/file/mod.ts";
import { selectEligible } from "../../cohort/analysis/mod.ts";
import { openStudy } from "../../study/file/mod.ts";
import { commandLine, messageOf, studyOptions, taskLine } from "../../study/command-line/mod.ts";
import { lockFor, lockPath, planSha256, readLock, writeLock } from "../../study/lock/mod.ts";
import { publishedPlan } from "../files/mod.ts";
import { projectFolder } from "../sandbox/mod.ts";
import { basename, join } from "../notebooks/mod.ts";
import { beforeOutcomes } from "./before-outcomes.ts";
import { firstRunOf } from "./first-run.ts";

const usage = `Shows what a plan comes to before outcomes are looked at, and locks it.

  deno task plan [--study FILE] [--cohort FILE] [--visits FILE] [--lock] [--registered TEXT]
                 [--out DIR]

  --study FILE       study file (default: data-demo/study.json)
  --cohort FILE      patients table, in place of the one the study file names
  --visits FILE      echo visits table, in place of the one the study file names
  --lock             writes the plan's hash and the date beside the study file
  --registered TEXT  where the plan was registered, kept with the lock
  --out DIR          the folder of the study's reports (default: out/<study name>)

Shown: counts, missing values, balance, overlap, effective numbers, the precision to expect. No
outcome is shown, and none is used: the columns are dropped before anything is counted.
Exit code: 0 done; 2 the plan or its files cannot be used, or another lock is there.
`;

/** Runs the command; the result is its exit code. */
async function main(args: readonly string[]): Promise<number> {
  const line = commandLine(args, {
    usage,
    options: {
      ...studyOptions,
      lock: { type: "boolean" },
      registered: { type: "string" },
      out: { type: "string" },
    },
  });
  if ("code" in line) return line.code;
  const { study: path, cohort, visits, lock, registered, out } = line.values;
  const paths = { study: path, cohort, visits };
  try {
    Reflect.set(globalThis, Symbol.for("mitral.run"), {
      ...(path && { study: path }),
      ...(cohort && { cohort }),
      ...(visits && { visits }),
    });
    const study = await openStudy();
    const { progress, end } = readingLines();
    const analysis = selectEligible(await readCohort(study, { progress }).finally(end), study);
    for (const { heading, lines } of beforeOutcomes(analysis)) {
      console.log(`${heading}\n${lines.map((text) => `  ${text}`).join("\n")}\n`);
    }
    const before = await readLock(study);
    const hash = await planSha256(study);
    if (before) {
      const same = before.planSha256 === hash;
      console.log(
        `Locked on ${before.lockedAt.slice(0, 10)}; the plan ${
          same ? "is the same" : "has changed since"
        }.`,
      );
      if (!lock || same) return 0;
      console.error(
        "A lock stays as it is. State the change under deviations in the study file: the report " +
          `lists both. To begin anew, delete ${basename(lockPath(study))}.`,
      );
      return 2;
    }
    if (!lock) {
      console.log(`Not locked. SHA-256 of the plan: ${hash}`);
      console.log(`\nNext: ${taskLine("plan", { ...paths, lock: true })}`);
      return 0;
    }
    const seen = await firstRunOf(out ?? join(projectFolder, "out", study.name), study.name);
    await writeLock(
      study,
      await lockFor(study, {
        lockedAt: new Date().toISOString(),
        ...(registered && { registered }),
        outcomesSeenAt: seen,
        plan: publishedPlan(study),
      }),
    );
    console.log(`Locked: ${basename(lockPath(study))}, SHA-256 of the plan ${hash}`);
    if (seen) {
      console.log(`A report with outcomes was made on ${seen.slice(0, 10)}: the lock says so.`);
    }
    console.log(`\nNext: ${taskLine("report", paths)}`);
    return 0;
  } catch (error) {
    console.error(messageOf(error));
    return 2;
  }
}

if (import.meta.main) Deno.exit(await main(Deno.args));
