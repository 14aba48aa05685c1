// Walks once through the leaves of the shop screen. Gives the rows of each leaf, and every fault as a sentence.
const main = document.getElementById("main");
const rows = [...main.querySelectorAll(".turn:not([hidden]) :is(li,.none)")];
const words = (element) => element.textContent.replace(/\s+/g, " ").trim();
const stale = document.documentElement.classList.contains("stale");
const told = document.getElementById("turned").textContent.match(/leaf (\d+) of (\d+)/);
const count = told ? Number(told[2]) : 1;
const faults = [], leaves = [];
const seen = new Map(rows.map((row) => [row, 0]));
const one = getComputedStyle(main).overflowY === "hidden";
function look() {
  const shown = rows.filter((row) => row.checkVisibility());
  shown.forEach((row) => seen.set(row, seen.get(row) + 1));
  for (const element of document.querySelectorAll("#page *")) {
    if (!element.checkVisibility() || ![...element.childNodes].some((node) => node.nodeType === 3 && node.data.trim())) continue;
    const box = element.getBoundingClientRect(), inside = main.contains(element) ? main.getBoundingClientRect() : { top: 0, bottom: innerHeight };
    const what = `“${words(element).slice(0, 60)}” (leaf ${leaves.length + 1} of ${count}, ${innerWidth} × ${innerHeight})`;
    if (one && (box.top < inside.top - 1 || box.bottom > inside.bottom + 1)) faults.push(`cut off: ${Math.round(box.top)} to ${Math.round(box.bottom)}, seen from ${Math.round(inside.top)} to ${Math.round(inside.bottom)}: ${what}`);
    if (box.left < -1 || box.right > innerWidth + 1) faults.push(`wider than the screen: ${what}`);
  }
  if (one && document.documentElement.scrollHeight > innerHeight + 1) faults.push(`the screen is ${document.documentElement.scrollHeight} px high in a window of ${innerHeight}`);
  leaves.push(shown.map(words));
}
for (let leaf = 0; leaf < count; leaf += 1) {
  look();
  if (count > 1) document.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowRight", bubbles: true }));
}
for (const [row, times] of seen) {
  if (stale && row.matches(".none")) continue;
  if (times !== 1) faults.push(`on ${times} leaves: “${words(row)}”`);
}
return { leaves, faults };
