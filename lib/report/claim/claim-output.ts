import { basename, dirname, join, resolve } from "node:path";
import { messageOf } from "../../study/command-line/mod.ts";
import { checkOutput, type OutputPlaces, settle } from "./places.ts";

/** A report's folder that this run alone may replace, until it is let go. */
export interface ClaimedOutput extends OutputPlaces {
  /** Removes the private folder with all that is in it and lets others in. */
  release(): Promise<void>;
}

/**
 * Claims a report's folder for one run: makes `.NAME.work` beside it, which only its owner may
 * enter, and locks it. The lock ends with the process, however that ends; what a run that was cut
 * short left behind is put in order first.
 *
 * @throws {Error} Where another run has it, where it holds other files than a report's, or where
 * nothing can be made beside it.
 */
export async function claimOutput(chosen: string): Promise<ClaimedOutput> {
  const folder = await placeOf(chosen);
  const work = join(dirname(folder), `.${basename(folder)}.work`);
  const lock = await lockIn(work, folder);
  const empty = async () => {
    for (const { name } of [...Deno.readDirSync(work)]) {
      if (name !== lockName) await Deno.remove(join(work, name), { recursive: true });
    }
  };
  const isHeld = () => isStill(lock, join(work, lockName));
  const release = async () => {
    try {
      // what lies there belongs to the run that came in when it was removed
      if (!await isHeld()) return;
      await empty();
      Deno.removeSync(join(work, lockName));
      leave(work);
    } finally {
      lock.close();
    }
  };
  try {
    settle({ folder, work });
    checkOutput(folder);
    await empty();
  } catch (error) {
    await release();
    throw error;
  }
  return { folder, work, isHeld, release };
}

const lockName = "lock";

/** Removes the private folder, unless the next run has come in and made a lock of its own there. */
function leave(work: string): void {
  try {
    Deno.removeSync(work);
  } catch {
    // not empty: it is another's now
  }
}

/** The folder itself where the path leads through links, so that one folder has one lock. */
async function placeOf(chosen: string): Promise<string> {
  const path = resolve(chosen);
  if (basename(path) === "") throw new Error(`Cannot write the report to ${path}: choose a folder`);
  try {
    return await Deno.realPath(path);
  } catch (error) {
    if (!(error instanceof Deno.errors.NotFound)) throw notThere(path, error);
  }
  try {
    await Deno.mkdir(dirname(path), { recursive: true });
    return join(await Deno.realPath(dirname(path)), basename(path));
  } catch (error) {
    throw notThere(path, error);
  }
}

function notThere(path: string, error: unknown): Error {
  return new Error(`Cannot write the report to ${path}: ${messageOf(error)}`);
}

async function lockIn(work: string, folder: string): Promise<Deno.FsFile> {
  const path = join(work, lockName);
  for (;;) {
    let file: Deno.FsFile;
    try {
      await makePrivate(work);
      file = await Deno.open(path, { create: true, write: true, mode: 0o600 });
    } catch (error) {
      if (error instanceof Deno.errors.NotFound) continue; // another run has just removed it
      throw new Error(
        `Cannot write the report to ${folder}: nothing can be made beside it (${
          messageOf(error)
        }); choose another folder`,
      );
    }
    if (!await file.tryLock(true)) {
      file.close();
      throw new Error(
        `Cannot write the report to ${folder}: another run is writing there; wait until it has ` +
          "ended, or choose another folder",
      );
    }
    if (await isStill(file, path)) return file;
    file.close();
  }
}

/** Makes the folder, or takes one that a run left, if it is a folder and nobody else's. */
async function makePrivate(work: string): Promise<void> {
  try {
    await Deno.mkdir(work, { mode: 0o700 });
  } catch (error) {
    if (!(error instanceof Deno.errors.AlreadyExists)) throw error;
    const { isDirectory, uid } = await Deno.lstat(work);
    if (!isDirectory || uid !== Deno.uid()) throw new Error(`${work} is not a folder of yours`);
    if (uid !== null) await Deno.chmod(work, 0o700); // not on every system
  }
}

/** Whether a locked file is the one that others will find: it may have been removed meanwhile. */
async function isStill(file: Deno.FsFile, path: string): Promise<boolean> {
  try {
    const [own, found] = [await file.stat(), await Deno.stat(path)];
    return own.ino === found.ino && own.dev === found.dev;
  } catch {
    return false;
  }
}
