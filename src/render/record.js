// A page of the record: its search line, and long tables sifted and ordered. Without it the pages are plain and whole.
"use strict";
(() => {
  const MOST = 40; // hits shown at once
  const AROUND = 70; // letters shown before and after the first word found
  const root = document.currentScript.src.replace(/record\.js[^/]*$/, "");
  const by = (id) => document.getElementById(id);
  const plain = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
  const wordsOf = (text) => plain(text).split(/\s+/).filter(Boolean);
  function make(name, props, ...inside) {
    const made = Object.assign(document.createElement(name), props);
    made.append(...inside);
    return made;
  }

  // The search line. What it finds comes in a script, when somebody first asks: a page in a folder may load nothing else.
  let entries = null, loading = false;

  function entry(kind, name, id, says, href) {
    const heads = plain(`${name} ${id}`);
    return { kind, name, id, says, href: root + href, heads, all: `${heads} ${plain(says)}` };
  }

  function listed({ values, jobs, parts, days }) {
    const lines = (day, href, [at, ...texts]) => texts.map((says) => entry("log", `Day ${day}`, "", says, at ? `${href}#${encodeURIComponent(at)}` : href));
    return [
      ...values.map(([id, says = "", href]) => entry("value", id, "", says, href || `as-built.html#value-${id}`)),
      ...jobs.map(([id, name = "", says = ""]) => entry("job", name, id, says, `jobs.html#job-${id}`)),
      ...parts.map(([id, name = "", says = ""]) => entry("part", name, id, says, `ledger.html#part-${id}`)),
      ...days.map(([day, href, title]) => entry("day", `Day ${day}${title ? `: ${title}` : ""}`, "", "", href)),
      ...days.flatMap(([day, href, , places]) => places.flatMap((place) => lines(day, href, place))),
    ];
  }

  window.shimbookSearch = (data) => {
    entries = listed(data);
    loading = false;
    find();
  };

  function load() {
    if (entries || loading) return;
    loading = true;
    const script = make("script", { src: `${root}search-data.js` });
    script.onerror = () => { loading = false; say("What could be found is not beside this page."); };
    script.onload = () => script.remove();
    document.head.append(script);
  }

  function say(text) {
    const count = by("find-count");
    if (count && count.textContent !== text) count.textContent = text;
  }

  function hits(words) {
    const rank = (e) => (e.heads.startsWith(words[0]) ? 0 : words.every((word) => e.heads.includes(word)) ? 1 : 2);
    const found = entries.filter((e) => words.every((word) => e.all.includes(word)));
    return found.map((e) => [rank(e), e]).sort(([a], [b]) => a - b).map(([, e]) => e);
  }

  // A text with the words in it marked. Where letters and plain letters do not stand in step, it stays unmarked.
  function marked(text, words) {
    const low = plain(text), pieces = [];
    let from = 0;
    while (low.length === text.length) {
      const next = words.map((word) => [low.indexOf(word, from), word.length]).filter(([at]) => at >= 0).sort(([a, m], [b, n]) => a - b || n - m)[0];
      if (!next) break;
      pieces.push(text.slice(from, next[0]), make("mark", {}, text.slice(next[0], next[0] + next[1])));
      from = next[0] + next[1];
    }
    return [...pieces, text.slice(from)];
  }

  // The part of a long text that stands around the first word found.
  function excerpt(text, words) {
    const at = Math.max(0, Math.min(...words.map((word) => plain(text).indexOf(word)).filter((at) => at >= 0), text.length));
    let from = at < AROUND || at === text.length ? 0 : text.indexOf(" ", at - AROUND) + 1;
    if (from > at) from = at;
    const end = from + 2 * AROUND + words[0].length, cut = text.length > end ? text.lastIndexOf(" ", end) : text.length;
    const to = cut > at ? cut : Math.min(end, text.length);
    return (from ? "… " : "") + text.slice(from, to) + (to < text.length ? " …" : "");
  }

  function hit(e, words) {
    const says = e.says ? make("span", { className: "says" }, ...marked(excerpt(e.says, words), words)) : "";
    const name = make("b", {}, ...marked(e.name, words));
    const id = e.id ? make("code", {}, ...marked(e.id, words)) : "";
    const what = make("span", { className: "what" }, name, " ", id);
    return make("li", {}, make("a", { href: e.href }, make("span", { className: "lbl" }, e.kind), " ", what, " ", says));
  }

  function find() {
    const words = wordsOf(by("find-words")?.value || ""), list = by("found");
    if (!list) return;
    if (words.length && !entries) load();
    const found = words.length && entries ? hits(words) : [];
    list.replaceChildren(...found.slice(0, MOST).map((e) => hit(e, words)));
    list.hidden = !found.length;
    const told = found.length > MOST ? `${MOST} of ${found.length} shown; another word narrows it` : `${found.length} found`;
    say(words.length && entries ? (found.length ? told : "Nothing found") : "");
  }

  function leave() {
    const line = by("find-words");
    if (!line.value) return line.blur();
    line.value = "";
    find();
    line.focus();
  }

  // Arrows go through the hits, Enter takes the first, Esc clears the line.
  function keysOfFind(event) {
    const line = by("find-words"), links = [...by("found").querySelectorAll("a")];
    const at = links.indexOf(document.activeElement), to = { ArrowDown: at + 1, ArrowUp: at - 1 }[event.key];
    if (event.key === "Escape") leave();
    else if (to !== undefined && links.length) (to < 0 ? line : links[Math.min(to, links.length - 1)]).focus();
    else if (event.key === "Enter" && at < 0 && links.length) links[0].click();
    else return;
    event.preventDefault();
  }

  document.addEventListener("keydown", (event) => {
    const within = event.target.closest?.("#find, #found");
    if (within) return keysOfFind(event);
    const typing = event.target.closest?.("input,select,textarea"), line = by("find-words");
    if (event.key.toLowerCase() !== "f" || event.ctrlKey || event.metaKey || event.altKey || typing || !line) return;
    event.preventDefault();
    line.focus();
  });

  // A hit on this page leads to it under the list, which is in the way then.
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.("#found a");
    if (link && link.href.split("#")[0] === location.href.split("#")[0]) setTimeout(() => { by("find-words").value = ""; find(); reveal(); });
  });

  // Tables that can be sifted and ordered say so with data-sift; a cell's data-sort and data-pick are what it goes by.
  const orders = new Map(); // by table: the column and the direction it is ordered by

  const tables = () => [...document.querySelectorAll("table[data-sift]")];
  const heads = (table) => [...table.tHead.rows[0].cells];
  const rows = (table) => [...table.tBodies[0].rows];
  const picks = (cell) => (cell?.dataset.pick || "").split("|").filter(Boolean);

  // A number with its unit; else text.
  function key(row, column) {
    const text = (row.cells[column].dataset.sort ?? row.cells[column].textContent).trim();
    const [, figure, unit] = /^(-?\d+(?:\.\d+)?(?:e-?\d+)?)(?: (\S+))?$/.exec(text) || [];
    return figure === undefined ? { text } : { text, figure: Number(figure), unit: unit || "" };
  }

  const letters = new Intl.Collator("en", { numeric: true });
  function compare(a, b) {
    if (a.figure === undefined || b.figure === undefined) return (a.figure === undefined) - (b.figure === undefined) || letters.compare(a.text, b.text);
    return letters.compare(a.unit, b.unit) || a.figure - b.figure;
  }

  function put(table, ordered) {
    const all = document.createDocumentFragment();
    ordered.forEach((row) => all.append(row));
    table.tBodies[0].append(all);
  }

  const asWritten = (table) => rows(table).sort((a, b) => a.dataset.nth - b.dataset.nth);

  function order(table) {
    const { column = -1, down = false } = orders.get(table.dataset.sift) || {};
    heads(table).forEach((head, n) => head.setAttribute("aria-sort", n !== column ? "none" : down ? "descending" : "ascending"));
    const keyed = asWritten(table).map((row) => [column < 0 ? { text: "" } : key(row, column), row]);
    // What is empty stands last either way.
    keyed.sort(([a], [b]) => !a.text - !b.text || (down ? compare(b, a) : compare(a, b)));
    put(table, keyed.map(([, row]) => row));
  }

  function turn(table, column) {
    const now = orders.get(table.dataset.sift);
    const next = now?.column !== column ? { column, down: false } : now.down ? undefined : { column, down: true };
    if (next) orders.set(table.dataset.sift, next); else orders.delete(table.dataset.sift);
    order(table);
  }

  function sift(table) {
    const id = table.dataset.sift, words = wordsOf(by(`sift-${id}`).value), all = rows(table);
    const wanted = heads(table).map((_, n) => by(`sift-${id}-${n}`)?.value);
    let shown = 0;
    for (const row of all) {
      const said = words.length ? plain(row.textContent) : "";
      row.hidden = !(words.every((word) => said.includes(word)) && wanted.every((want, n) => !want || picks(row.cells[n]).includes(want)));
      shown += !row.hidden;
    }
    const text = `${shown} of ${all.length} shown`, count = by(`sift-${id}-count`);
    if (count.textContent !== text) count.textContent = text;
  }

  function choice(table, head, n) {
    const known = [...new Set(rows(table).flatMap((row) => picks(row.cells[n])))].sort(letters.compare);
    const select = make("select", { id: `sift-${table.dataset.sift}-${n}` }, make("option", { value: "" }, "any"), ...known.map((word) => make("option", { value: word }, word)));
    select.oninput = () => sift(table);
    return known.length > 1 ? make("label", {}, `${head.dataset.pick || head.textContent.trim()} `, select) : "";
  }

  function tools(table) {
    const id = table.dataset.sift;
    const choices = heads(table).map((head, n) => (head.dataset.pick === undefined ? "" : choice(table, head, n)));
    const words = make("input", { type: "search", id: `sift-${id}`, autocomplete: "off", spellcheck: false });
    words.oninput = () => sift(table);
    const count = make("span", { id: `sift-${id}-count`, className: "fig" });
    count.setAttribute("role", "status");
    return make("div", { className: "sift" }, make("label", {}, "Only rows with ", words), " ", ...choices.flatMap((label) => [label, " "]), count);
  }

  function fit(table) {
    if (table.classList.contains("fitted")) return;
    rows(table).forEach((row, n) => { row.dataset.nth = n; });
    (table.closest(".scroll") || table).before(tools(table));
    heads(table).forEach((head, n) => {
      const button = make("button", { type: "button" }, ...head.childNodes);
      button.onclick = () => turn(table, n);
      head.append(button);
    });
    table.classList.add("fitted");
    order(table);
    sift(table);
  }

  // The row that an address leads to is shown, whatever is sifted out.
  function reveal() {
    const row = by(decodeURIComponent(location.hash.slice(1)))?.closest("tr[hidden]");
    const table = row?.closest("table[data-sift]");
    if (!table) return;
    table.closest("main").querySelectorAll(".sift :is(input,select)").forEach((field) => { field.value = ""; });
    sift(table);
    row.scrollIntoView();
  }

  function ready() {
    const line = by("find");
    if (line) line.hidden = false;
    tables().forEach(fit);
  }

  document.addEventListener("input", (event) => { if (event.target.id === "find-words") find(); });
  document.addEventListener("focusin", (event) => { if (event.target.id === "find-words") load(); });
  addEventListener("hashchange", reveal);
  // On paper all rows stand as they were written.
  addEventListener("beforeprint", () => tables().forEach((table) => put(table, asWritten(table))));
  addEventListener("afterprint", () => tables().forEach(order));
  // The wall put another page in the place of this one: the book may say something else now.
  document.addEventListener("page", () => { entries = null; ready(); });
  ready();
})();
