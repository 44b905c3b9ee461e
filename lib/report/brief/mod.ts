/** One sheet for a meeting, as a page and as PDF. @module */
export { briefHtml } from "./brief.ts";
export { type BriefBlock, briefBlocks } from "./brief-blocks.ts";
