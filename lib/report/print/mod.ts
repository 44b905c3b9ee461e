/** Figures as journals take them. Loaded only where a report is printed: its packages are large. */
export { printFigures, type PrintJob } from "./print-figures.ts";
export { briefPdf } from "./brief-pdf.ts";
