/** The page: its sections, one file each. @module */
export { reportHtml } from "./page.ts";
export { safeSvg } from "./safe-svg.ts";
export { styleSheet } from "./style.ts";
