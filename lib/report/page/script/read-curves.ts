/**
 * In the page: pointing at a curve, or moving along it with the arrow keys, reads out every curve's
 * value and limits at that time and the number at risk at the tick before it.
 *
 * Everything is read off the drawing, so that nothing can be read that is not already drawn: counts
 * too small to publish stay the bounds they are. Runs from its own text, so it may name nothing
 * outside itself.
 */
export function readCurves(): void {
  type Point = [x: number, y: number];
  interface Frame {
    panel: SVGGElement;
    edges: number[];
    spans: number[];
    lines: { name: string; curves: Point[][]; bands: Point[][]; counts: Element[] }[];
  }
  const part = (panel: Element, name: string) => [
    ...panel.querySelectorAll<SVGGElement>(`[data-part="${name}"]`),
  ];
  const numbers = (text: string | null) => (text ?? "").split(" ").map(Number);
  const words = (element: Element | undefined) => {
    const lines = [...element?.querySelectorAll("tspan") ?? []].map((line) => line.textContent);
    return (lines.length > 0 ? lines.join(" ") : element?.textContent ?? "").trim();
  };
  const points = (group: Element): Point[][] =>
    [...group.querySelectorAll("path")].map((path) =>
      [...(path.getAttribute("d") ?? "").matchAll(/(-?[\d.]+),(-?[\d.]+)/g)]
        .map(([, x, y]): Point => [Number(x), Number(y)])
    );
  // where a line, or the edge of a band, stands at x; at a step, where it goes on
  const crossings = (paths: Point[][], x: number): number[] =>
    paths.flatMap((path) =>
      path.flatMap(([x1, y1], i) => {
        const [x2, y2] = path[i + 1] ?? [x1, y1];
        const [low, high] = x1 < x2 ? [x1, x2] : [x2, x1];
        return x >= low && x < high ? [y1 + (y2 - y1) * (x - x1) / (x2 - x1)] : [];
      })
    );
  const frameOf = (panel: SVGGElement): Frame | undefined => {
    // in the order of the drawing, which is that of the names: a group may be faint throughout
    const curves = [
      ...panel.querySelectorAll('[data-part="curve"], [data-part="curve-faint"]'),
    ];
    const bands = [...part(panel, "band"), ...part(panel, "band-faint")];
    const colours = [...new Set(curves.map((group) => group.getAttribute("stroke")))];
    if (colours.length === 0 || !panel.hasAttribute("data-spans")) return undefined;
    const labels = part(panel, "curve-label");
    const risk = part(panel, "risk-count");
    return {
      panel,
      edges: numbers(panel.getAttribute("data-frame")),
      spans: numbers(panel.getAttribute("data-spans")),
      lines: colours.map((colour, k) => ({
        name: words(labels[k]),
        curves: curves.filter((group) => group.getAttribute("stroke") === colour).flatMap(points),
        bands: bands.filter((group) => group.getAttribute("fill") === colour).flatMap(points),
        counts: [...risk[k]?.querySelectorAll("text") ?? []],
      })),
    };
  };
  const placeOf = (element: Element) =>
    numbers(
      (/\(([^)]*)\)/.exec(element.getAttribute("transform") ?? "")?.[1] ?? "").replace(",", " "),
    );
  /** A vertical place in the words of the axis: its own numbers, its own sign. */
  const valueText = ({ panel, edges, spans }: Frame) => {
    const ticks = part(panel, "y-axis").flatMap((group) => [...group.querySelectorAll("text")])
      .map((text) => ({
        y: placeOf(text)[1] ?? NaN,
        value: Number((text.textContent ?? "").replace("−", "-").replace(/[^-\d.]/g, "")),
      }));
    const [first, last] = [ticks[0], ticks.at(-1)];
    const known = first && last && first.y !== last.y;
    const span = known
      ? Math.abs(last.value - first.value)
      : Math.abs((spans[3] ?? 1) - (spans[2] ?? 0));
    const sign = part(panel, "y-axis").some((group) => group.textContent?.includes("%")) ? "%" : "";
    // a hundredth of the axis, or a tenth of a percent
    const digits = Math.min(6, Math.max(0, Math.ceil(2 - Math.log10(span))));
    return (y: number) => {
      const value = known
        ? first.value + (last.value - first.value) * (y - first.y) / (last.y - first.y)
        : (spans[2] ?? 0) +
          ((spans[3] ?? 1) - (spans[2] ?? 0)) * ((edges[3] ?? 0) - y) /
            ((edges[3] ?? 0) - (edges[1] ?? 0));
      const text = value.toFixed(sign ? 1 : digits);
      return { text: text.replace(/^-(?=0(\.0+)?$)/, "").replace("-", "−"), sign };
    };
  };
  const describe = (frame: Frame, x: number): string[] => {
    const textAt = valueText(frame);
    return frame.lines.flatMap(({ name, curves, bands, counts }) => {
      const y = crossings(curves, x).at(-1);
      if (y === undefined) return [];
      const at = textAt(y);
      const edges = crossings(bands, x).sort((a, b) => b - a);
      const limits = edges.length < 2
        ? ""
        : ` (${textAt(edges[0] ?? NaN).text} to ${textAt(edges.at(-1) ?? NaN).text})`;
      const before = counts.filter((count) => (placeOf(count)[0] ?? NaN) <= x + 0.5).at(-1);
      const tick = before && part(frame.panel, "x-axis")
        .flatMap((group) => [...group.querySelectorAll("text")])
        .find((text) => Math.abs((placeOf(text)[0] ?? NaN) - (placeOf(before)[0] ?? NaN)) < 0.5);
      const risk = before
        ? `; at risk${tick ? ` at ${tick.textContent}` : ""}: ${before.textContent}`
        : "";
      return [`${name}: ${at.text}${at.sign}${limits}${risk}`];
    });
  };
  for (const drawing of document.querySelectorAll<HTMLElement>(".drawing")) {
    const frames = [...drawing.querySelectorAll<SVGGElement>("[data-frame]")].map(frameOf)
      .filter((frame) => frame !== undefined);
    const svg = drawing.querySelector("svg");
    if (!svg || frames.length === 0) continue;
    const readout = document.createElement("div");
    readout.className = "readout";
    // there from the start, empty: what is put into it later is read aloud
    readout.setAttribute("role", "status");
    drawing.append(readout);
    drawing.tabIndex = 0;
    const rules = frames.map(({ panel, edges }) => {
      const rule = document.createElementNS("http://www.w3.org/2000/svg", "line");
      rule.setAttribute("class", "reading-line");
      rule.setAttribute("y1", String(edges[1]));
      rule.setAttribute("y2", String(edges[3]));
      rule.style.display = "none";
      panel.append(rule);
      return rule;
    });
    let share = 0.5;
    const show = (frame: Frame) => {
      const [left = 0, , right = 1] = frame.edges;
      // paths are drawn to a tenth: the last may end that little before the frame
      const x = Math.min(left + share * (right - left), right - 0.06);
      const time = (frame.spans[0] ?? 0) + share * ((frame.spans[1] ?? 1) - (frame.spans[0] ?? 0));
      const axis = words(part(frame.panel, "x-label")[0]);
      const heading = words(part(frame.panel, "heading")[0]);
      const title = document.createElement("b");
      title.textContent = `${heading ? `${heading}. ` : ""}${axis}: ${time.toFixed(1)}`;
      const lines = describe(frame, x).map((text) => {
        const line = document.createElement("span");
        line.textContent = text;
        return line;
      });
      readout.replaceChildren(title, ...lines);
      frames.forEach(({ edges }, k) => {
        const at = (edges[0] ?? 0) + share * ((edges[2] ?? 1) - (edges[0] ?? 0));
        rules[k]?.setAttribute("x1", String(at));
        rules[k]?.setAttribute("x2", String(at));
        rules[k]?.style.removeProperty("display");
      });
    };
    const hide = () => {
      readout.replaceChildren();
      for (const rule of rules) rule.style.display = "none";
    };
    const point = (event: PointerEvent) => {
      for (const frame of frames) {
        const matrix = frame.panel.getScreenCTM();
        if (!matrix) continue;
        const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
        const [left = 0, top = 0, right = 0, bottom = 0] = frame.edges;
        if (at.x < left || at.x > right || at.y < top || at.y > bottom) continue;
        share = Math.min(0.9999, (at.x - left) / (right - left));
        show(frame);
        return;
      }
    };
    drawing.addEventListener("pointermove", point);
    // a finger does not hover: it reads where it was put down, and leaves when it is lifted
    drawing.addEventListener("pointerdown", point);
    drawing.addEventListener("pointerleave", (event) => {
      if (event.pointerType !== "touch") hide();
    });
    drawing.addEventListener("blur", hide);
    let shown = 0;
    drawing.addEventListener("keydown", (event) => {
      if (event.key === "Escape") return hide();
      const across = { ArrowLeft: -0.02, ArrowRight: 0.02 }[event.key];
      const down = { ArrowUp: -1, ArrowDown: 1 }[event.key];
      if (across === undefined && down === undefined) return;
      event.preventDefault();
      share = Math.min(0.9999, Math.max(0, share + (across ?? 0)));
      shown = Math.min(frames.length - 1, Math.max(0, shown + (down ?? 0)));
      const frame = frames[shown];
      if (frame) show(frame);
    });
  }
}
