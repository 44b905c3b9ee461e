import "./file-cases.ts";
import "./cell-cases.ts";
import { type DamagedFile, encoder, files, sound, soundVisits } from "./sound-and-damaged.ts";

export type { DamagedFile };

/** All damaged files. */
export const damagedFiles: readonly DamagedFile[] = files;

/** The sound files beside them. */
export const soundFiles = {
  "sound-patients.csv": encoder.encode(sound),
  "sound-visits.csv": encoder.encode(soundVisits),
};
