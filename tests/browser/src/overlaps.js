// Texts of drawings that lie on one another or leave their drawing. Runs in the page.
const faults = [];
for (const drawing of document.querySelectorAll("svg")) {
  if (!drawing.checkVisibility()) continue;
  const frame = drawing.getBoundingClientRect();
  const texts = [...drawing.querySelectorAll("text")].map((text) => ({ words: text.textContent, box: text.getBoundingClientRect() }));
  const shown = texts.filter(({ box }) => box.width > 0);
  const what = (drawing.getAttribute("aria-label") || drawing.querySelector("title")?.textContent || "").slice(0, 50);
  for (const { words, box } of shown) {
    if (box.left < frame.left - 1 || box.right > frame.right + 1 || box.top < frame.top - 1 || box.bottom > frame.bottom + 1) faults.push(`“${words}” leaves its drawing: ${what}`);
  }
  shown.forEach((one, index) => {
    for (const other of shown.slice(index + 1)) {
      const wide = Math.min(one.box.right, other.box.right) - Math.max(one.box.left, other.box.left);
      const high = Math.min(one.box.bottom, other.box.bottom) - Math.max(one.box.top, other.box.top);
      // The boxes of letters have air above and below; a quarter of their height is no touching.
      if (wide > 1 && high > 0.25 * Math.min(one.box.height, other.box.height)) faults.push(`“${one.words}” lies on “${other.words}”: ${what}`);
    }
  });
}
return faults.slice(0, 40);
