import assert from "node:assert/strict";
import { parseHTML } from "linkedom";
import { withResolution } from "../../../lib/report/pictures/png-resolution.ts";
import { printFigures } from "../../../lib/report/print/print-figures.ts";
import { printSvg } from "../../../lib/report/markup/print-svg.ts";
import { svg } from "./print-parts.ts";

Deno.test("printFigures() embeds fonts in PDF, sets sizes, and gives the same bytes twice", async () => {
  const job = { id: "alive", title: "Alive", svg };
  const files = new Map(await printFigures([job]));
  assert.deepEqual([...files.keys()], [
    "figures/1-column/alive.pdf",
    "figures/1-column/alive.png",
    "figures/2-columns/alive.pdf",
    "figures/2-columns/alive.png",
  ]);
  const pdf = new TextDecoder("latin1").decode(files.get("figures/1-column/alive.pdf"));
  // by hand: 85 mm at 72 points to 25.4 mm, twice as wide as high
  const box = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf);
  assert.ok(
    Math.abs(Number(box?.[1]) - 240.94) < 0.01 && Math.abs(Number(box?.[2]) - 120.47) < 0.01,
  );
  assert.match(pdf, /\/FontFile2/);
  assert.match(pdf, /SourceSans3-Regular/);
  assert.doesNotMatch(pdf, /Helvetica/);
  const png = files.get("figures/2-columns/alive.png") ?? new Uint8Array();
  const view = new DataView(png.buffer);
  // by hand: 180 mm at 400 dots to the inch; 400 dpi is 15748 dots to the metre
  assert.equal(view.getUint32(16), 2835);
  assert.equal(new TextDecoder("latin1").decode(png.subarray(37, 41)), "pHYs");
  assert.equal(view.getUint32(41), 15748);
  const again = new Map(await printFigures([job]));
  for (const [path, bytes] of files) assert.deepEqual(again.get(path), bytes, path);
});

Deno.test("withResolution() writes a chunk whose check sum is the standard's", () => {
  // by hand: IEND's published CRC is AE 42 60 82, made by the same rule
  const header = new Uint8Array(8 + 25);
  const chunk = withResolution(header, 25.4).subarray(33);
  const view = new DataView(chunk.buffer, chunk.byteOffset);
  assert.equal(view.getUint32(8), 1000);
  assert.equal(chunk.length, 21);
});

Deno.test("printSvg() takes style rules out and paints halos under their letters", () => {
  const text = printSvg(svg);
  assert.doesNotMatch(text, /style|paint-order/);
  const { document } = parseHTML(text);
  const [halo, letters] = document.querySelectorAll("g");
  assert.equal(halo?.getAttribute("stroke"), "#ffffff");
  assert.equal(halo?.getAttribute("fill"), "#ffffff");
  assert.equal(letters?.getAttribute("stroke"), null);
  assert.equal(letters?.getAttribute("fill"), "#1b1f24");
});
