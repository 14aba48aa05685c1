// The shop screen: all rows of the page, as many at a time as fit. What does not fit at once is shown leaf by leaf.
"use strict";
(() => {
  const ROOM = matchMedia("(min-width:60rem) and (min-height:30rem)"); // a smaller window is scrolled
  const SIZES = [1, 0.9, 0.8, 0.7, 0.6, 0.5]; // sizes of type, the largest that serves is taken
  const LEGIBLE = 0.8; // type is not made smaller than this only to have fewer leaves
  const MOST_LEAVES = 6;
  const PER_WORD = 270, LEAST = 3500, ROUND = 24000; // ms
  const page = document.getElementById("page"), by = (id) => document.getElementById(id);
  const all = (css) => [...page.querySelectorAll(css)];
  let leaves = [], leaf = 0, timer = 0, stopped = matchMedia("(prefers-reduced-motion:reduce)").matches;

  const set = (id, text) => { if (by(id).textContent !== text) by(id).textContent = text; };
  const isOld = () => document.documentElement.classList.contains("stale");
  const words = (row) => row.textContent.trim().split(/\s+/);

  // Each row that belongs on the screen, with its section. A sentence that all is well does not, if it may be old.
  function rows() {
    const sections = all(isOld() ? ".turn:not([hidden],.fine)" : ".turn:not([hidden])");
    return sections.flatMap((section) => [...section.querySelectorAll("li,.none")].map((row) => ({ section, row })));
  }

  function up(leaf, is) {
    for (const { section, row } of leaf) { section.classList.toggle("up", is); row.classList.toggle("up", is); }
  }

  // Is the frame inside the window, and the row inside the frame?
  function fits(row) {
    const main = by("main").getBoundingClientRect(), window = document.documentElement.clientHeight;
    const foot = page.lastElementChild.getBoundingClientRect().bottom;
    return foot <= window + 0.5 && (!row || row.getBoundingClientRect().bottom <= main.bottom + 0.5);
  }

  // The leaves at one size of type, measured on an empty screen; null if something does not fit.
  function leavesAt(size, rows) {
    page.style.setProperty("--fit", size);
    const made = [[]];
    let whole = fits();
    for (const piece of rows) {
      made.at(-1).push(piece);
      up([piece], true);
      if (made.at(-1).length > 1 && !fits(piece.row)) {
        up(made.at(-1), false);
        made[made.length - 1].pop();
        made.push([piece]);
        up([piece], true);
      }
      whole &&= fits(piece.row);
      if (!whole) break;
    }
    up(made.at(-1), false);
    return whole ? made : null;
  }

  // The same rows in a window of the same size make the same leaves, whatever was shown before.
  function measure() {
    all(".up").forEach((piece) => piece.classList.remove("up"));
    page.style.removeProperty("--fit");
    document.documentElement.classList.toggle("leaves", ROOM.matches);
    if (!ROOM.matches) return [];
    const there = rows();
    let best = 0;
    for (const size of SIZES) {
      if (best && size < LEGIBLE) break;
      const made = leavesAt(size, there);
      if (made && made.length <= MOST_LEAVES) return made;
      if (made) best ||= size;
    }
    if (best) return leavesAt(best, there);
    // Too much for one window even so: it is scrolled, and nothing is cut off.
    document.documentElement.classList.remove("leaves");
    page.style.removeProperty("--fit");
    return [];
  }

  // Measures again. Shows the leaf that is wanted, else the one with the row that was on top.
  function screen(wanted) {
    const top = leaves[leaf]?.[0]?.row.textContent;
    leaves = measure();
    const leafWith = (is) => leaves.findIndex((pieces) => pieces.some(is));
    let to = wanted ? leafWith(wanted) : -1;
    if (to < 0) to = leafWith(({ row }) => row.textContent === top);
    leaf = 0;
    turn(Math.max(to, 0));
  }

  // How long a leaf is shown: by its words, and all leaves together no longer than people wait.
  function patience() {
    const more = leaves.map((pieces) => Math.max(0, PER_WORD * pieces.flatMap(({ row }) => words(row)).length - LEAST));
    const sum = more.reduce((one, other) => one + other, 0);
    const left = Math.max(0, ROUND - LEAST * leaves.length);
    return LEAST + more[leaf] * Math.min(1, left / Math.max(sum, 1));
  }

  function turn(to) {
    clearTimeout(timer);
    const many = leaves.length > 1;
    if (leaves.length) {
      up(leaves[leaf], false);
      leaf = (to + leaves.length) % leaves.length;
      up(leaves[leaf], true);
    }
    set("turned", many ? `leaf ${leaf + 1} of ${leaves.length}${stopped ? ", stopped" : ""}` : "");
    set("stop", stopped ? "Turn the leaves (space bar)" : "Stop the leaves (space bar)");
    by("stop").hidden = !many;
    if (many && !stopped) timer = setTimeout(() => turn(leaf + 1), patience());
  }

  function stop() {
    stopped = !stopped;
    turn(leaf);
  }

  addEventListener("keydown", (event) => {
    if (leaves.length < 2 || event.ctrlKey || event.metaKey || event.altKey) return;
    const to = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (to) turn(leaf + to);
    else if (event.key === " " && !event.target.closest?.("button,a,input")) { event.preventDefault(); stop(); }
  });
  by("stop").addEventListener("click", stop);

  // Bands come and go, windows change, letters come late: each changes the room that the rows have.
  const room = new ResizeObserver(() => screen());
  function watch() {
    room.disconnect();
    room.observe(by("main"));
  }

  // After a save the screen turns to what was changed, unless a reader has stopped it.
  document.addEventListener("page", () => {
    watch();
    screen(stopped ? null : ({ section, row }) => section.id === "changed" || row.matches(".new"));
  });
  // A page that is no longer current begins again with the hold list.
  document.addEventListener("standing", () => screen(isOld() ? () => true : null));
  ROOM.addEventListener("change", () => screen());
  document.fonts?.addEventListener("loadingdone", () => screen());
  watch();
  screen();
})();
