import { parseHTML } from "linkedom";
import { textWidth } from "../../../lib/figures/drawing/letters.ts";
import { everyExample } from "../examples/examples.ts";

// By hand: a text ends inside the drawing where its estimated width says so. The estimate is on the
// safe side; `deno task check-report` measures the same drawings in a browser.
export const examples = everyExample();

/** The texts of a drawing that do not end inside it. */
export function clipped(svg: string): string[] {
  const { document } = parseHTML(`<!doctype html><html><body>${svg}</body></html>`);
  const root = document.querySelector("svg")!;
  const [width = 0, height = 0] = root.getAttribute("viewBox")!.split(" ").slice(2).map(Number);
  const found: string[] = [];
  const visit = (element: Element, outer: Letters) => {
    const said = (name: string) => element.getAttribute(name);
    const move = /translate\(([^,]+),([^)]+)\)/.exec(said("transform") ?? "");
    const own: Letters = {
      x: outer.x + Number(move?.[1] ?? 0) + Number(said("x") ?? 0),
      y: outer.y + Number(move?.[2] ?? 0) + (Number(said("y")) || 0),
      size: Number(said("font-size") ?? outer.size),
      anchor: said("text-anchor") ?? outer.anchor,
      bold: Number(said("font-weight") ?? (outer.bold ? 600 : 400)) >= 600,
    };
    for (const child of Array.from(element.children)) visit(child, own);
    const { x, y, size, anchor, bold } = own;
    if (!/^(text|tspan)$/.test(element.localName) || element.children.length > 0) return;
    const text = element.textContent ?? "";
    const wide = textWidth(text, size, { bold });
    const left = anchor === "start" ? x : anchor === "end" ? x - wide : x - wide / 2;
    if (left >= -1 && left + wide <= width + 1 && y >= -1 && y <= height + 1) return;
    const part = element.closest("[data-part]")?.getAttribute("data-part");
    found.push(`${part}: "${text}" from ${left.toFixed(0)} to ${(left + wide).toFixed(0)}`);
  };
  visit(root as unknown as Element, { x: 0, y: 0, size: 16, anchor: "start", bold: false });
  return found;
}

interface Letters {
  x: number;
  y: number;
  size: number;
  anchor: string;
  bold: boolean;
}
