/** What a run reads, copied and hashed before anything is computed from it. @module */
export { filesWithin } from "./files-within.ts";
export { libraryHash } from "./hash.ts";
export { type Snapshot, type SnapshotSources, takeSnapshot } from "./snapshot.ts";
export { readNotebooks } from "./read-notebooks.ts";
export { notebooksIn, notebooksOf, previewed } from "./which-notebooks.ts";
export { prepare, type Prepared } from "./prepare.ts";
