/**
 * From text to trees that are safe to put on a page, and from trees to whole pages.
 *
 * Its style sheets are long, one a document: rules that override each other are read in one place.
 */
export { documentHtml, type PageParts, sectionTree } from "./document.ts";
export { markdownTree, slugOf } from "./markdown.ts";
export { drawingOnPage, rememberDrawing, safeDrawing, safeSvg } from "./safe-drawing.ts";
export { styleSheet } from "./style-sheet.ts";
export { printSvg, printTree, rememberPrinted } from "./print-svg.ts";
