import { fontFamily, palette, type PaletteRole, type as typeSize } from "../theme/mod.ts";

/** A drawing as plain data: easy to compose, check and write out in one way only. */
export interface SvgNode {
  /** Of the element, such as "path". */
  name: string;
  /** As written. */
  attributes: Record<string, string>;
  /** Elements and texts inside it, in order. */
  children: (SvgNode | string)[];
}

/** A drawing with its size, in drawing units. */
export interface Panel {
  /** In drawing units. */
  width: number;
  /** In drawing units. */
  height: number;
  /** What is drawn, from the upper left corner. */
  content: SvgNode[];
}

/** Makes one element. Numbers become text; undefined leaves the attribute out. */
export function element(
  name: string,
  attributes: Record<string, string | number | undefined> = {},
  ...children: (SvgNode | string)[]
): SvgNode {
  const kept: Record<string, string> = {};
  for (const [key, value] of Object.entries(attributes)) {
    if (value !== undefined) kept[key] = String(value);
  }
  return { name, attributes: kept, children };
}

/** Lines of text below each other; `y` is the baseline of the first. */
export function textLines(
  lines: readonly string[],
  options: {
    x: number;
    y: number;
    size?: number;
    fill?: string;
    weight?: number;
    anchor?: "start" | "middle" | "end";
    part?: string;
    leading?: number;
  },
): SvgNode[] {
  const size = options.size ?? typeSize.text;
  const leading = options.leading ?? size * 1.25;
  return lines.map((line, k) =>
    element("text", {
      x: options.x,
      y: options.y + k * leading,
      "font-size": size,
      "font-weight": options.weight,
      "text-anchor": options.anchor ?? "start",
      fill: options.fill ?? palette.ink,
      "data-part": options.part,
    }, line)
  );
}

/** An element tree as {@link SvgNode}s. */
export function fromDom(source: Element): SvgNode {
  const attributes: Record<string, string> = {};
  for (const { name, value } of Array.from(source.attributes)) attributes[name] = value;
  const children: (SvgNode | string)[] = [];
  for (const child of Array.from(source.childNodes)) {
    if (child.nodeType === 1) children.push(fromDom(child as Element));
    else if (child.nodeType === 3) children.push(child.textContent ?? "");
  }
  return { name: source.localName, attributes, children };
}

/** Every element of a tree, parents first. */
export function* walk(node: SvgNode): Generator<SvgNode> {
  yield node;
  for (const child of node.children) if (typeof child !== "string") yield* walk(child);
}

const drawn = new Set(
  "svg g path rect line circle ellipse polygon polyline text tspan defs clipPath pattern".split(
    " ",
  ),
);

/** Where something is and how large: to a tenth of a unit, which nobody sees. */
const places = new Set(
  "d transform x y x1 x2 y1 y2 cx cy r rx ry width height points viewBox".split(" "),
);
/** How something looks. */
const looks = new Set(
  ("dx dy opacity fill-opacity stroke-opacity stroke-width stroke-dasharray font-size " +
    "stroke-miterlimit").split(" "),
);

/**
 * One writing of a drawing, whatever made it: only shapes and letters are kept, nothing that runs
 * or fetches; places and sizes have at most one decimal, about a day of ten years or a tenth of one
 * in 100, which is what a reader sees (read closer, a step would tell how many were at risk, and a
 * point how many patients it stands for); other numbers at most three; ids begin with the figure's
 * own; each colour of the palette also carries its role as a class, so that a page may restyle it.
 */
export function tidy(node: SvgNode, figureId: string): SvgNode {
  const names = new Map<string, string>();
  for (const { attributes } of walk(node)) {
    const id = attributes.id;
    if (id !== undefined && !names.has(id)) names.set(id, `${figureId}-part-${names.size + 1}`);
  }
  return tidyNode(node, names);
}

function tidyNode(node: SvgNode, names: Map<string, string>): SvgNode {
  const attributes: Record<string, string> = {};
  const classes: string[] = [];
  for (const [name, value] of Object.entries(node.attributes)) {
    if (name === "aria-label") attributes["data-part"] ??= value;
    else if (name === "class" || name === "data-part") attributes["data-part"] = value;
    if (/^(on|aria-|xml)|href|^(style|src|class|data-part)$/i.test(name)) continue;
    if (name === "id") {
      attributes.id = names.get(value) ?? value;
      continue;
    }
    const local = value.match(/^url\(#(.*)\)$/)?.[1];
    if (local !== undefined) {
      const known = names.get(local);
      if (known) attributes[name] = `url(#${known})`;
      continue;
    }
    if (/url\(|javascript:/i.test(value)) continue;
    const digits = places.has(name) ? 1 : looks.has(name) ? 3 : undefined;
    attributes[name] = digits === undefined ? value : roundNumbers(value, digits);
    const role = name === "fill" || name === "stroke" ? roleByValue.get(value) : undefined;
    if (role) classes.push(`${name}-${role}`);
  }
  if (classes.length > 0) attributes.class = classes.sort().join(" ");
  const children = node.children.flatMap((child): (SvgNode | string)[] => {
    if (typeof child === "string") return [child];
    return drawn.has(child.name) ? [tidyNode(child, names)] : [];
  });
  return { name: node.name, attributes, children };
}

const roleByValue = new Map<string, PaletteRole>(
  Object.entries(palette).map(([role, value]) => [value, role as PaletteRole]),
);

/** At most so many decimals for every number in an attribute. */
export function roundNumbers(text: string, digits = 3): string {
  return text.replace(/-?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?/gi, (number) => {
    const rounded = Math.round(Number(number) * 10 ** digits) / 10 ** digits;
    return String(rounded === 0 ? 0 : rounded);
  });
}

/** The style rules of the roles a drawing uses, for that drawing alone. */
export function roleRules(node: SvgNode, root: { id: string; width: number }): string {
  const { id: rootId, width } = root;
  const used = new Set<string>();
  for (const { attributes } of walk(node)) {
    for (const name of (attributes.class ?? "").split(" ")) if (name) used.add(name);
  }
  const rules = [...used].sort().map((name) => {
    const [property, ...rest] = name.split("-");
    const role = rest.join("-") as PaletteRole;
    return `#${rootId} .${name}{${property}:var(--figure-${role},${palette[role]})}`;
  });
  // a page may override the width and family: these rules weigh nothing. On a large screen a
  // drawing stays so small that its letters do not outgrow the text around it
  const widest = Math.round(1.2 * width);
  return `:where(#${rootId}){display:block;width:100%;max-width:${widest}px;height:auto;` +
    `font-family:var(--figure-font,${fontFamily.replaceAll('"', "'")})}${rules.join("")}`;
}

/** The one way a drawing is written: attributes in order of name, text escaped for XML. */
export function serialize(node: SvgNode): string {
  const attributes = Object.entries(node.attributes)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([name, value]) => ` ${name}="${escapeXml(value)}"`)
    .join("");
  if (node.children.length === 0) return `<${node.name}${attributes}/>`;
  const inner = node.children.map((child) =>
    typeof child === "string" ? escapeXml(child) : serialize(child)
  );
  return `<${node.name}${attributes}>${inner.join("")}</${node.name}>`;
}

/** Text made safe for XML; characters that XML cannot hold are left out. */
export function escapeXml(text: string): string {
  return text
    // deno-lint-ignore no-control-regex
    .replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g, "")
    .replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;").replace(/"/g, "&quot;");
}

/** Panels below each other as one. */
export function stack(panels: readonly Panel[], options: { gap?: number } = {}): Panel {
  const gap = options.gap ?? 18;
  let y = 0;
  const content = panels.map((panel) => {
    const group = element("g", { transform: `translate(0,${y})` }, ...panel.content);
    y += panel.height + gap;
    return group;
  });
  return { width: Math.max(...panels.map((p) => p.width)), height: y - gap, content };
}

/** Panels beside each other as one, their upper or lower edges in one line. */
export function beside(
  panels: readonly Panel[],
  { gap = 24, edge = "upper" }: { gap?: number; edge?: "upper" | "lower" } = {},
): Panel {
  const height = Math.max(...panels.map((p) => p.height));
  let x = 0;
  const content = panels.map((panel) => {
    const y = edge === "upper" ? 0 : height - panel.height;
    const group = element("g", { transform: `translate(${x},${y})` }, ...panel.content);
    x += panel.width + gap;
    return group;
  });
  return { width: x - gap, height, content };
}

/** Panels beside each other, so many a row, the rows below each other. */
export function inRows(
  panels: readonly Panel[],
  perRow: number,
  options: { edge?: "upper" | "lower" } = {},
): Panel {
  const rows: Panel[] = [];
  for (let k = 0; k < panels.length; k += perRow) {
    rows.push(beside(panels.slice(k, k + perRow), options));
  }
  return stack(rows);
}
