/**
 * In the page: marks in the contents where the reader is, and opens the code a link leads to.
 *
 * Runs from its own text, so it may name nothing outside itself.
 */
export function followReader(): void {
  const nav = document.querySelector<HTMLElement>("nav.contents");
  const links = new Map<string, HTMLAnchorElement>();
  for (const link of nav?.querySelectorAll("a") ?? []) {
    links.set(decodeURIComponent(link.hash.slice(1)), link);
  }
  const targets = [...links.keys()].map((id) => document.getElementById(id))
    .filter((element) => element !== null);
  let waiting = false;
  let current: HTMLAnchorElement | undefined;
  const mark = () => {
    waiting = false;
    // the last heading above the upper third of the window is the one being read
    const passed = targets.filter((target) => target.getBoundingClientRect().top < innerHeight / 3);
    const next = links.get(passed.at(-1)?.id ?? "");
    if (next === current) return;
    current?.removeAttribute("aria-current");
    next?.setAttribute("aria-current", "location");
    current = next;
    if (!nav || !next || nav.scrollHeight <= nav.clientHeight) return;
    const above = next.offsetTop - nav.offsetTop;
    if (above < nav.scrollTop + 40 || above > nav.scrollTop + nav.clientHeight - 60) {
      nav.scrollTop = above - nav.clientHeight / 3;
    }
  };
  const soon = () => {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(mark);
  };
  addEventListener("scroll", soon, { passive: true });
  addEventListener("resize", soon);
  const open = () => {
    const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (target instanceof HTMLDetailsElement) target.open = true;
    soon();
  };
  addEventListener("hashchange", open);
  open();
}
