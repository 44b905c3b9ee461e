import { parseHTML } from "linkedom";

/** One element of a drawing with where it stands in drawing units. */
export interface Drawn {
  name: string;
  part: string | null;
  text: string;
  x: number;
  y: number;
  attribute(name: string): string | null;
}

/** Every element of an SVG, with the translations of its parents added up. */
export function readSvg(svg: string): Drawn[] {
  const { document } = parseHTML(`<!doctype html><html><body>${svg}</body></html>`);
  const found: Drawn[] = [];
  const visit = (element: Element, x: number, y: number, part: string | null) => {
    const move = /translate\(([^,]+),([^)]+)\)/.exec(element.getAttribute("transform") ?? "");
    const at = { x: x + Number(move?.[1] ?? 0), y: y + Number(move?.[2] ?? 0) };
    const own = element.getAttribute("data-part") ?? part;
    found.push({
      name: element.localName,
      part: own,
      text: element.textContent ?? "",
      ...at,
      attribute: (name) => element.getAttribute(name),
    });
    for (const child of Array.from(element.children)) visit(child, at.x, at.y, own);
  };
  const root = document.querySelector("svg");
  if (!root) throw new Error("no drawing");
  visit(root as unknown as Element, 0, 0, null);
  return found;
}

/** The texts of one part, in the order drawn. */
export function textsOf(svg: string, part: string): Drawn[] {
  return readSvg(svg).filter((e) => e.name === "text" && e.part === part);
}

/** Fails unless a text is well-formed XML as far as tags, attributes and entities go. */
export function checkWellFormed(svg: string): void {
  const open: string[] = [];
  const tag = /<(\/?)([a-zA-Z]+)((?:\s[a-zA-Z0-9:-]+="[^"<]*")*)\s*(\/?)>|([^<]+)/y;
  let at = 0;
  while (at < svg.length) {
    tag.lastIndex = at;
    const match = tag.exec(svg);
    if (!match) throw new Error(`not well-formed: ${svg.slice(at, at + 80)}`);
    const [whole, closing, name = "", attributes = "", empty, text] = match;
    const held = text ?? attributes;
    if (/&(?!(amp|lt|gt|quot);)/.test(held)) throw new Error(`bare ampersand: ${held}`);
    if (text === undefined && closing) {
      if (open.pop() !== name) throw new Error(`closes <${name}> out of order`);
    } else if (text === undefined && !empty) {
      open.push(name);
    }
    at += whole.length;
  }
  if (open.length > 0) throw new Error(`never closed: ${open.join(", ")}`);
}
