/** A draft for a journal: the text in Word, and its figures as drawings. @module */
export { draftOf } from "./draft.ts";
export { beginDraft, type DraftOptions } from "./draft-files.ts";
