/** A notebook as the supplement shows it: its prose, what its cells showed, its code. @module */
export { notebookProse, rememberProse } from "./notebook-prose.ts";
export { notebookSection } from "./notebook-section.ts";
export { rememberSaid, saidMarkup } from "./said-on-page.ts";
