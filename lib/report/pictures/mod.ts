/** Drawings as pictures of dots, and the letters in them. @module */
export { type Fonts, loadFonts } from "./fonts.ts";
export { type PictureSize, pngDrawer, type PrintJob } from "./png-drawer.ts";
export { drawPictures } from "./draw-pictures.ts";
