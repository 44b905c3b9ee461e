import { printSvg } from "../markup/mod.ts";
import { type Fonts, loadFonts, pngDrawer } from "../pictures/mod.ts";
import { bytesOf } from "./pdf-parts.ts";
import PDFDocument from "pdfkit";
import SVGtoPDF from "svg-to-pdfkit";

/** A drawing to print. */
export interface PrintJob {
  id: string;
  title: string;
  /** Shapes and letters only; see safe-svg.ts. */
  svg: string;
  /** The same laid out for two columns; else the narrow drawing is enlarged. */
  wide?: string;
}

/** The widths of one and of two columns of a journal page, in mm, and dots to the inch of each. */
const columns = [{ name: "1-column", width: 85, dpi: 600 }, {
  name: "2-columns",
  width: 180,
  dpi: 400,
}] as const;

const millimetre = 72 / 25.4;

/**
 * Drawings as a journal takes them: PDF with its fonts embedded and PNG at print resolution, each
 * for one column and for two. The light colours that a drawing carries itself are printed.
 *
 * @returns Path within the report's folder and content.
 */
export async function printFigures(
  jobs: readonly PrintJob[],
): Promise<[string, Uint8Array<ArrayBuffer>][]> {
  if (jobs.length === 0) return [];
  const fonts = await loadFonts();
  const draw = await pngDrawer();
  const files: [string, Uint8Array<ArrayBuffer>][] = [];
  for (const job of jobs) {
    for (const { name, width, dpi } of columns) {
      const svg = name === "2-columns" ? job.wide ?? job.svg : job.svg;
      const drawing = { ...job, svg: printSvg(svg) };
      const path = `figures/${name}/${job.id}`;
      files.push([`${path}.pdf`, await pdfOf(drawing, { width: width * millimetre, fonts })]);
      files.push([`${path}.png`, draw(drawing.svg, { width, dpi })]);
    }
  }
  return files;
}

async function pdfOf(
  { svg, title }: PrintJob,
  options: { width: number; fonts: Fonts },
): Promise<Uint8Array<ArrayBuffer>> {
  const size = /viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(svg);
  const [across, down] = [Number(size?.[1]), Number(size?.[2])];
  if (!(across > 0 && down > 0)) throw new Error(`Cannot print "${title}": it has no viewBox`);
  const scale = options.width / across;
  const document = new PDFDocument({
    size: [options.width, down * scale],
    margin: 0,
    // no clock in a file that must have the same bytes each time
    info: { Title: title, CreationDate: new Date(0) },
  });
  const written = bytesOf(document);
  document.registerFont("regular", options.fonts.regular);
  document.registerFont("semibold", options.fonts.semibold);
  document.scale(scale);
  SVGtoPDF(document, svg, 0, 0, {
    assumePt: true,
    fontCallback: (_family: string, bold: boolean) => bold ? "semibold" : "regular",
    warningCallback: () => {},
  });
  document.end();
  return await written;
}
