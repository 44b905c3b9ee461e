import { initWasm, Resvg } from "@resvg/resvg-wasm";
import { loadFonts } from "./fonts.ts";
import { withResolution } from "./png-resolution.ts";

/** How large a picture is: its width in mm, and dots to the inch. */
export interface PictureSize {
  width: number;
  dpi: number;
}

const family = "Source Sans 3";

/** What draws drawings as PNG: shapes and letters only; see safe-svg.ts. */
export async function pngDrawer(): Promise<
  (svg: string, size: PictureSize) => Uint8Array<ArrayBuffer>
> {
  const { regular, semibold } = await loadFonts();
  await startRenderer();
  return (svg, { width, dpi }) => {
    const image = new Resvg(svg, {
      fitTo: { mode: "width", value: Math.round(width / 25.4 * dpi) },
      background: "#fff",
      font: {
        fontBuffers: [regular, semibold],
        defaultFontFamily: family,
        sansSerifFamily: family,
      },
    });
    const rendered = image.render();
    const png = new Uint8Array(rendered.asPng());
    rendered.free();
    image.free();
    return withResolution(png, dpi);
  };
}

let renderer: Promise<void> | undefined;

/** Starts the renderer, which may be started once in a process. */
function startRenderer(): Promise<void> {
  renderer ??= Deno.readFile(new URL(import.meta.resolve("@resvg/resvg-wasm/index_bg.wasm")))
    .then((bytes) => initWasm(bytes));
  return renderer;
}
