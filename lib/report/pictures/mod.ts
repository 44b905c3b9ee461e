/** Drawings as pictures of dots, and the letters in them. @module */
export { type Fonts, loadFonts } from "./fonts.ts";
export { pngDrawer } from "./png-drawer.ts";
export { drawPictures } from "./draw-pictures.ts";
