import { createHash } from "node:crypto";
import { followReader } from "./follow-reader.ts";
import { readCurves } from "./read-curves.ts";
import { switchDesigns } from "./switch-designs.ts";
import { tableTools } from "./table-tools.ts";

/**
 * What the page may run, to make reading easier and nothing more: without it everything is there.
 * The hash is the one script that the page's policy lets run.
 */
export function pageScript(): { code: string; hash: string } {
  const code = [followReader, switchDesigns, readCurves, tableTools].map((part) => `(${part})();`)
    .join("\n");
  if (/<\/script|<!--/i.test(code)) {
    throw new Error("Cannot inline the script: it ends its element");
  }
  const hash = createHash("sha256").update(code).digest("base64");
  return { code, hash: `sha256-${hash}` };
}
