import PDFDocument from "pdfkit";
import type { BriefBlock } from "../brief/mod.ts";
import { loadFonts } from "../pictures/mod.ts";
import { bytesOf } from "./pdf-parts.ts";

const page = { width: 595.28, height: 841.89, margin: 42 };
const room = { width: page.width - 2 * page.margin, height: page.height - 2 * page.margin };
/** Sizes of letters in points, the largest that leaves everything on one page is taken. */
const sizes = [11, 10.5, 10, 9.5, 9, 8.5, 8, 7.5, 7, 6.5, 6];

/**
 * The sheet as one page of A4, fonts embedded, the same bytes each time.
 *
 * @throws {Error} Where the words do not fit on a page in letters that can be read.
 */
export async function briefPdf(
  blocks: readonly BriefBlock[],
  { title }: { title: string },
): Promise<Uint8Array<ArrayBuffer>> {
  const fonts = await loadFonts();
  const document = new PDFDocument({
    size: [page.width, page.height],
    margin: page.margin,
    // no clock in a file that must have the same bytes each time
    info: { Title: title, CreationDate: new Date(0) },
  });
  const written = bytesOf(document);
  document.registerFont("regular", fonts.regular);
  document.registerFont("semibold", fonts.semibold);
  const laidOut = (size: number, draw: boolean) => {
    let y = page.margin;
    for (const block of blocks) y += place(document, block, { size, y, draw });
    return y - page.margin;
  };
  const size = sizes.find((one) => laidOut(one, false) <= room.height);
  if (size === undefined) throw new Error("Cannot print the brief: it does not fit on one page");
  laidOut(size, true);
  document.end();
  return await written;
}

/** Draws a block, or only measures it; returns how much height it takes. */
function place(
  document: InstanceType<typeof PDFDocument>,
  block: BriefBlock,
  { size, y, draw }: { size: number; y: number; draw: boolean },
): number {
  if (block.kind === "row") {
    const width = room.width / block.cells.length;
    document.font(block.heading ? "semibold" : "regular").fontSize(size * 0.9);
    const inner = { width: width - 6 };
    const heights = block.cells.map((cell) => document.heightOfString(cell, inner));
    if (draw) {
      block.cells.forEach((cell, i) => document.text(cell, page.margin + i * width, y, inner));
    }
    return Math.max(0, ...heights) + 0.25 * size;
  }
  const { font, scale, above } = styles[block.kind];
  const indent = block.kind === "point" ? size : 0;
  const options = { width: room.width - indent };
  document.font(font).fontSize(size * scale);
  const height = document.heightOfString(block.text, options);
  if (draw) {
    if (indent > 0) document.text("\u2022", page.margin, y + above * size);
    document.text(block.text, page.margin + indent, y + above * size, options);
  }
  return above * size + height;
}

const styles = {
  question: { font: "regular", scale: 1.5, above: 0.2 },
  heading: { font: "semibold", scale: 1.15, above: 0.9 },
  finding: { font: "semibold", scale: 1.05, above: 0.5 },
  words: { font: "regular", scale: 1, above: 0.2 },
  point: { font: "regular", scale: 0.95, above: 0.15 },
} as const;
