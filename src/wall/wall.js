// A page of the wall: it changes by itself, keeps its place, and says so when it is no longer current.
"use strict";
(() => {
  const SILENCE = 12000; // ms without a word from the shop's computer before the page calls itself out of date
  const RETRY = 2000;
  const TURN = 10000;
  const root = document.currentScript.src.replace(/wall\.js[^/]*$/, "");
  // The page as it came, before any other script touches it.
  const came = document.getElementById("page")?.outerHTML;
  const here = () => location.pathname + location.search;
  let stream = null, silence = 0, retry = 0, shown = null, news = null, busy = false, again = false;

  const set = (id, text) => { const e = document.getElementById(id); if (e && e.textContent !== text) e.textContent = text; };

  function notCurrent(why) {
    document.documentElement.classList.toggle("stale", !!why);
    const area = document.getElementById("not-current");
    if (!area) return;
    const last = news && news.at ? ` Last good read ${news.at}.` : "";
    const text = why ? `Not current: treat as on hold. ${why}${last}` : "";
    if (area.textContent !== text) area.textContent = text;
    area.hidden = !why;
  }

  function heard() {
    clearTimeout(silence);
    silence = setTimeout(() => lost(), SILENCE);
  }

  function lost() {
    if (stream) stream.close();
    stream = null;
    notCurrent("The connection to the shop’s computer is gone.");
    clearTimeout(retry);
    if (!document.hidden) retry = setTimeout(listen, RETRY);
  }

  function listen() {
    if (stream || document.hidden) return;
    heard();
    stream = new EventSource(root + "events");
    stream.onerror = lost;
    stream.addEventListener("beat", heard);
    stream.addEventListener("book", (event) => {
      heard();
      news = JSON.parse(event.data);
      set("as-of", news.at ? `As of ${news.at}` : "");
      if (news.current) swap(); else notCurrent(news.why);
    });
  }

  // Gets this page again and puts it in place of the one shown. A save that comes meanwhile is fetched afterwards.
  async function swap() {
    if (busy) { again = true; return; }
    busy = true;
    try {
      do {
        again = false;
        const answer = await fetch(here(), { cache: "no-cache" });
        const text = await answer.text();
        if (answer.status === 404) notCurrent("This page is no longer in the book.");
        else if (!answer.ok) notCurrent("The page cannot be written up.");
        else { put(text); notCurrent(news.current ? "" : news.why); }
      } while (again);
    } catch { lost(); } finally { busy = false; }
  }

  function put(text) {
    if (text === shown) return;
    const first = shown === null;
    shown = text;
    const fresh = new DOMParser().parseFromString(text, "text/html");
    const now = document.getElementById("page"), next = fresh.getElementById("page");
    if (!now || !next || (first && came === next.outerHTML)) return;
    const place = keep(now);
    document.title = fresh.title;
    now.replaceWith(document.adoptNode(next));
    document.dispatchEvent(new Event("page"));
    place(next);
    set("as-of", news && news.at ? `As of ${news.at}` : "");
    screen();
  }

  // What can be read on a page, each with a key of its own: line numbers change with every line written above, words stay.
  function readable(page) {
    const met = new Map();
    return [...page.querySelectorAll("#main :is(h1,h2,h3,p,li,tr,figure,summary)")].map((e) => {
      const words = e.localName + e.textContent, nth = met.get(words) || 0;
      met.set(words, nth + 1);
      return [e, `${nth} ${words}`];
    });
  }

  // What the reader had: open details, what was typed, focus, and what stood at the top of the window.
  function keep(page) {
    const open = new Set([...page.querySelectorAll("details")].map((d, n) => (d.open ? n : -1)));
    const typed = new Map([...page.querySelectorAll("input[id],select[id]")].map((i) => [i.id, i.type === "checkbox" ? i.checked : i.value]));
    const active = document.activeElement, links = [...page.querySelectorAll("a,summary,button,input,select")];
    const focus = page.contains(active) ? [active.id, active.getAttribute("href"), links.indexOf(active)] : null;
    const marks = readable(page).filter(([e]) => e.getBoundingClientRect().bottom > 0).slice(0, 40).map(([e, key]) => [key, e.getBoundingClientRect().top]);
    const scroll = window.scrollY;
    return (fresh) => {
      fresh.querySelectorAll("details").forEach((d, n) => { d.open = open.has(n); });
      typed.forEach((value, id) => {
        const input = fresh.querySelector("#" + CSS.escape(id));
        if (!input) return;
        if (input.type === "checkbox") input.checked = value; else input.value = value;
        input.dispatchEvent(new Event("input", { bubbles: true }));
      });
      if (focus) {
        const [id, href, n] = focus;
        const all = [...fresh.querySelectorAll("a,summary,button,input,select")];
        const to = (id && fresh.querySelector("#" + CSS.escape(id))) || (all[n] && all[n].getAttribute("href") === href && all[n]) || all.find((e) => href && e.getAttribute("href") === href);
        if (to) to.focus({ preventScroll: true });
      }
      const there = new Map(readable(fresh).map(([e, key]) => [key, e]));
      const same = marks.find(([key]) => there.has(key));
      window.scrollTo({ top: same && scroll > 0 ? window.scrollY + there.get(same[0]).getBoundingClientRect().top - same[1] : scroll, behavior: "instant" });
    };
  }

  // The shop screen shows as much at once as fits, turns its leaves by itself, and to what changed last.
  let leaves = [], leaf = 0, turning = 0;
  function screen() {
    clearTimeout(turning);
    const page = document.querySelector(".screen");
    if (!page) return;
    page.classList.remove("turning");
    leaves = [];
    if (!matchMedia("(min-width:60rem) and (min-height:32rem)").matches) return;
    page.classList.add("turning");
    const main = document.getElementById("main");
    let up = [];
    const show = (...pieces) => pieces.forEach((piece) => { if (!up.includes(piece)) { piece.classList.add("up"); up.push(piece); } });
    for (const section of page.querySelectorAll(".turn:not([hidden])")) {
      for (const row of section.querySelectorAll("li,.none")) {
        const before = [...up];
        show(section, row);
        if (before.length && main.scrollHeight > main.clientHeight) {
          leaves.push(before);
          up.forEach((piece) => piece.classList.remove("up"));
          up = [];
          show(section, row);
        }
      }
    }
    up.forEach((piece) => piece.classList.remove("up"));
    leaves.push(up);
    leaf = 0;
    turn(0);
  }
  function turn(to) {
    leaves[leaf].forEach((piece) => piece.classList.remove("up"));
    leaf = (to + leaves.length) % leaves.length;
    leaves[leaf].forEach((piece) => piece.classList.add("up"));
    set("turned", leaves.length > 1 ? `leaf ${leaf + 1} of ${leaves.length}` : "");
    clearTimeout(turning);
    if (leaves.length > 1) turning = setTimeout(() => turn(leaf + 1), TURN);
  }
  addEventListener("keydown", (event) => {
    const by = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (by && leaves.length) turn(leaf + by);
  });
  addEventListener("resize", screen);

  // A browser keeps only a few streams open to one host: hidden pages give theirs back.
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden) { clearTimeout(retry); listen(); return; }
    if (stream) stream.close();
    stream = null;
    clearTimeout(silence);
    notCurrent("This page was put away.");
  });
  addEventListener("online", () => { clearTimeout(retry); listen(); });
  screen();
  listen();
})();
