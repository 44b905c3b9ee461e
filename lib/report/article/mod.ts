/** The report itself: an article of twelve pages, declared by the list of its sections. @module */
export { type Article, articleOf, reportHtml } from "./article.ts";
export { appliesTo, frontTree } from "./front.ts";
export { type FilledSection, filledSections, mainFindings } from "./choose.ts";
export { articleSections } from "./sections.ts";
export { headingOf } from "./section-tree.ts";
