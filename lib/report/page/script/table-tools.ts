/**
 * In the page: a button on each table that copies it as a table, and headings that sort those
 * tables whose lines stand for themselves.
 *
 * The buttons' words are written by the style sheet, so that the page's own text stays the same.
 * Runs from its own text, so it may name nothing outside itself.
 */
export function tableTools(): void {
  const copy = (table: HTMLTableElement, button: HTMLButtonElement) => {
    const selection = getSelection();
    const range = document.createRange();
    range.selectNode(table);
    selection?.removeAllRanges();
    selection?.addRange(range);
    // the one way to the clipboard that a page opened from a folder has everywhere
    button.dataset.done = document.execCommand("copy") ? "copied" : "selected";
    if (button.dataset.done === "copied") selection?.removeAllRanges();
    setTimeout(() => delete button.dataset.done, 2000);
  };
  const numberIn = (text: string) => {
    const found = /-?[\d.]+/.exec(text.replaceAll("−", "-").replaceAll(",", ""));
    return found ? Number(found[0]) : NaN;
  };
  const compare = (a: string, b: string) => {
    const [x, y] = [numberIn(a), numberIn(b)];
    if (Number.isNaN(x) && Number.isNaN(y)) return a < b ? -1 : a > b ? 1 : 0;
    if (Number.isNaN(x)) return 1;
    if (Number.isNaN(y)) return -1;
    return x - y;
  };
  const textOf = (row: HTMLTableRowElement, column: number) =>
    row.cells[column]?.textContent?.trim() ?? "";
  const makeSortable = (table: HTMLTableElement) => {
    const body = table.tBodies[0];
    const heads = [...table.tHead?.rows[0]?.cells ?? []];
    if (!body || body.rows.length < 4) return;
    const original = [...body.rows];
    // lines that belong to the line above them must not be torn from it
    if (original.some((row) => !/^\S/.test(row.cells[0]?.textContent ?? ""))) return;
    heads.forEach((head, column) => {
      const button = document.createElement("button");
      button.className = "sort";
      button.append(...head.childNodes);
      head.append(button);
      button.addEventListener("click", () => {
        const next = { none: "ascending", ascending: "descending", descending: "none" }[
          head.getAttribute("aria-sort") ?? "none"
        ] ?? "none";
        for (const other of heads) other.removeAttribute("aria-sort");
        const rows = [...original];
        if (next !== "none") {
          head.setAttribute("aria-sort", next);
          rows.sort((a, b) => compare(textOf(a, column), textOf(b, column)));
          if (next === "descending") rows.reverse();
        }
        body.append(...rows);
      });
    });
  };
  for (const figure of document.querySelectorAll<HTMLElement>("figure.table[id]")) {
    const table = figure.querySelector("table");
    const caption = figure.querySelector("figcaption");
    if (!table || !caption) continue;
    const button = document.createElement("button");
    button.className = "copy";
    const number = /^Table S?\d+/.exec(caption.textContent ?? "")?.[0] ?? "this table";
    button.setAttribute("aria-label", `Copy ${number}`);
    button.addEventListener("click", () => copy(table, button));
    caption.append(button);
    makeSortable(table);
  }
}
