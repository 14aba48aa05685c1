// Every fault of the layout as a sentence. Runs in the page.
const faults = [];
const width = document.documentElement.clientWidth;
const name = (element) =>
  `<${element.localName}${element.id ? " #" + element.id : ""}${element.className && element.className.baseVal === undefined ? " ." + element.className : ""}> “${(element.textContent || "").trim().slice(0, 50)}”`;
const hidden = (element) => {
  if (!element.checkVisibility({ visibilityProperty: true })) return true;
  // Put aside for those who listen, or shown once it has the focus.
  return Boolean(element.closest(".skip, .aside, thead")) && element.getBoundingClientRect().right < 0;
};
const scrolls = (element) => {
  for (let at = element.parentElement; at; at = at.parentElement) {
    if (["auto", "scroll"].includes(getComputedStyle(at).overflowX)) return at;
  }
  return null;
};
if (document.documentElement.scrollWidth > width) faults.push(`the page is ${document.documentElement.scrollWidth} px wide in a window of ${width}`);
for (const element of document.body.querySelectorAll("*")) {
  if (element.closest("svg") && element.localName !== "svg") continue;
  if (hidden(element)) continue;
  const box = element.getBoundingClientRect();
  if (box.width === 0 || box.height === 0) continue;
  if ((box.right > width + 1 || box.left < -1) && !scrolls(element)) faults.push(`wider than the page (${Math.round(box.left)} to ${Math.round(box.right)} of ${width}): ${name(element)}`);
  const style = getComputedStyle(element);
  const text = [...element.childNodes].some((node) => node.nodeType === 3 && node.data.trim());
  if (["hidden", "clip"].includes(style.overflowX) && element.scrollWidth > element.clientWidth + 1) faults.push(`cut off: ${name(element)}`);
  if (["hidden", "clip"].includes(style.overflowY) && element.scrollHeight > element.clientHeight + 1) faults.push(`cut off below: ${name(element)}`);
  if (text && style.display !== "inline" && style.overflowX === "visible" && element.scrollWidth > element.clientWidth + 1 && element.clientWidth > 0) faults.push(`text runs out of its box by ${element.scrollWidth - element.clientWidth} px: ${name(element)}`);
}
// A finger needs 24 px either way (WCAG 2.2, 2.5.8), except for links in running text.
if (width < 600) {
  for (const element of document.body.querySelectorAll("a, summary, button, input, select")) {
    if (hidden(element) || element.closest("svg")) continue;
    const boxes = element.getClientRects();
    if (!boxes.length) continue;
    const inline = getComputedStyle(element).display === "inline";
    if (!inline && (boxes[0].height < 23.5 || boxes[0].width < 23.5)) faults.push(`too small to touch (${Math.round(boxes[0].width)} × ${Math.round(boxes[0].height)}): ${name(element)}`);
  }
}
return faults.slice(0, 40);
