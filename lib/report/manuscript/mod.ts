/** A draft for a journal: the text in Word, and its figures as drawings. @module */
export { type Draft, draftOf } from "./draft.ts";
export { beginDraft, type DraftOptions, type DraftWriter } from "./draft-files.ts";
