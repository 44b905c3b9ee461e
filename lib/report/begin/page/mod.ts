/** The conversation as one page on this machine. @module */
export { type OpenPage, openPage } from "./open-page.ts";
