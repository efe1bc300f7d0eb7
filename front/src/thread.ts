// The thread: besides Tab, the arrows walk its places.

export function walkThread(): void {
  const links = [...document.querySelectorAll<HTMLAnchorElement>(".thread a")];
  links.forEach((link, i) => link.addEventListener("keydown", (event) => {
    const step = event.key === "ArrowRight" ? 1 : event.key === "ArrowLeft" ? -1 : 0;
    const next = links[i + step];
    if (!step || !next) return;
    event.preventDefault();
    next.focus();
  }));
}
