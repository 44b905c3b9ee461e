/**
 * In the page: buttons on each figure that answers a question also answered under other designs,
 * which show the others' drawing and caption in its place. Printed, each figure is its own again.
 *
 * The buttons' words are written by the style sheet, so that the page's own text stays the same.
 * Runs from its own text, so it may name nothing outside itself; before the script that reads
 * curves, so that the copies can be read too.
 */
export function switchDesigns(): void {
  const names = new Map([
    ["unadjusted", "Unadjusted"],
    ["matched", "Matched"],
    ["weighted", "Weighted"],
  ]);
  // other designs are kept on other figures of the page, or in a template beside the figure
  const kept = [...document.querySelectorAll<HTMLTemplateElement>("template.versions")]
    .flatMap((
      { content },
    ) => [...content.querySelectorAll<HTMLElement>("figure[data-version-of]")]);
  const figures = [...document.querySelectorAll<HTMLElement>("figure[data-version-of]"), ...kept]
    .flatMap((figure) => {
      const drawing = figure.querySelector<HTMLElement>(".drawing");
      const caption = figure.querySelector("figcaption");
      const { versionOf = "", design = "" } = figure.dataset;
      if (!drawing || !caption || !names.has(design)) return [];
      return { figure, drawing, caption, versionOf, design, words: [...caption.childNodes] };
    });
  let copies = 0;
  const copyOf = (drawing: HTMLElement): HTMLElement => {
    const copy = drawing.cloneNode(true) as HTMLElement;
    const suffix = `-copy-${++copies}`;
    for (const element of copy.querySelectorAll("[id]")) {
      const old = element.id;
      element.id = old + suffix;
      for (const style of copy.querySelectorAll("style")) {
        style.textContent = (style.textContent ?? "").replaceAll(`#${old}`, `#${old}${suffix}`);
      }
    }
    const labelled = copy.querySelector("svg[aria-labelledby]");
    labelled?.setAttribute(
      "aria-labelledby",
      (labelled.getAttribute("aria-labelledby") ?? "").split(" ").map((id) => id + suffix)
        .join(" "),
    );
    copy.hidden = true;
    return copy;
  };
  const made = figures.map((own) => {
    const order = [...names.keys()];
    const versions = figures.filter(({ versionOf }) => versionOf === own.versionOf)
      .sort((a, b) => order.indexOf(a.design) - order.indexOf(b.design))
      .map((version) => ({
        ...version,
        drawing: version === own ? own.drawing : copyOf(version.drawing),
        words: version === own ? own.words : version.words.map((node) => node.cloneNode(true)),
      }));
    return { own, versions };
  });
  for (const { own, versions } of made) {
    if (versions.length < 2 || kept.includes(own.figure)) continue;
    const group = document.createElement("div");
    group.className = "designs";
    group.setAttribute("role", "group");
    group.setAttribute("aria-label", "Design");
    let chosen = own.design;
    const show = (design: string) => {
      for (const version of versions) version.drawing.hidden = version.design !== design;
      const words = versions.find((version) => version.design === design)?.words ?? [];
      own.caption.replaceChildren(...words);
      for (const button of group.querySelectorAll("button")) {
        button.setAttribute("aria-pressed", String(button.dataset.design === design));
      }
    };
    for (const { design } of versions) {
      const button = document.createElement("button");
      button.dataset.design = design;
      button.setAttribute("aria-label", names.get(design) ?? design);
      button.addEventListener("click", () => {
        chosen = design;
        show(design);
      });
      group.append(button);
    }
    own.drawing.before(group);
    own.drawing.after(...versions.map(({ drawing }) => drawing).filter((d) => d !== own.drawing));
    show(chosen);
    addEventListener("beforeprint", () => show(own.design));
    addEventListener("afterprint", () => show(chosen));
  }
}
