/** The page: its sections, one file each. @module */
export { reportHtml } from "./page.ts";
export { scrolling } from "./items-on-page.ts";
