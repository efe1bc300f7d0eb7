// Printing: side, patient and day stand on every sheet, whatever place is printed.

export function nameSheets(): void {
  const who = document.querySelector(".who");
  const sheet = [...document.styleSheets].find((one) => one.href?.includes("/static/built/"));
  if (!sheet) return;
  const said = (one: Element): string => (one.children.length ? [...one.children].map((part) => part.textContent).join(" ") : one.textContent).replace(/\s+/g, " ").trim();
  const words = who ? [...who.querySelectorAll(".side, dl > div")].map(said) : [document.title];
  const box = (place: string, text: string): string => `${place} { content: ${JSON.stringify(text)}; font: 9pt sans-serif; color: #1d2228; }`;
  sheet.insertRule(`@page { margin: 18mm 12mm 16mm; ${box("@top-left", words.filter(Boolean).join(", "))} ${box("@bottom-left", "teaching and planning, not for care")} @bottom-right { content: counter(page) " / " counter(pages); font: 9pt sans-serif; } }`, sheet.cssRules.length);
}
