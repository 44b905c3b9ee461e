// Draws every figure from invented results into a folder, to be looked at:
//   deno run --allow-read --allow-write test/figures/examples/gallery.ts FOLDER
import { join } from "node:path";
import { examples } from "./examples.ts";

const [folder] = Deno.args;
if (!folder) throw new Error("say where to write the pictures");
Deno.mkdirSync(folder, { recursive: true });
for (const figure of examples()) {
  const page =
    `<!doctype html><meta charset="utf-8"><meta name="viewport" content="width=device-width">` +
    `<style>body{margin:16px;font:16px/1.5 system-ui;color:#1b1f24}figure{margin:0;max-width:600px}` +
    `figcaption{font-size:15px;margin-top:8px}</style><figure>${figure.svg}` +
    `<figcaption><b>${figure.title}.</b> ${figure.caption}</figcaption></figure>`;
  Deno.writeTextFileSync(join(folder, `${figure.id}.html`), page);
  Deno.writeTextFileSync(join(folder, `${figure.id}.svg`), figure.svg);
}
