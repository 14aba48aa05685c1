// A page of the wall: it changes by itself, keeps its place, and says so when it is no longer current.
"use strict";
(() => {
  const SILENCE = 12000; // ms without a word from the shop's computer before the page calls itself out of date
  const RETRY = 2000;
  const root = document.currentScript.src.replace(/wall\.js[^/]*$/, "");
  // The page as it came, before any other script touches it.
  const came = document.getElementById("page")?.outerHTML;
  const here = () => location.pathname + location.search;
  let stream = null, silence = 0, retry = 0, shown = null, news = null, busy = false, again = false;

  const set = (id, text) => { const e = document.getElementById(id); if (e && e.textContent !== text) e.textContent = text; };

  const stale = () => document.documentElement.classList.contains("stale");

  // Says why the page is not current, or with no reason that it is. What is read out changes only when it says something else.
  function notCurrent(why) {
    const last = news && news.at ? ` Last good read ${news.at}.` : "";
    set("not-current", why ? `Not current: treat as on hold. ${why}${last}` : "");
    set("as-of", why || !news || !news.at ? "" : `As of ${news.at}`);
    const was = stale();
    document.documentElement.classList.toggle("stale", !!why);
    if (was !== !!why) document.dispatchEvent(new Event("standing"));
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
    stream.addEventListener("beat", (event) => {
      heard();
      const beat = JSON.parse(event.data);
      if (!beat.current) notCurrent(beat.why);
      else if (news && !stale()) { news.at = beat.looked; notCurrent(""); }
    });
    stream.addEventListener("book", (event) => {
      heard();
      news = JSON.parse(event.data);
      if (!news.current) notCurrent(news.why);
      swap();
    });
  }

  // Gets this page again and puts it in place of the one shown. A save that comes meanwhile is fetched afterwards.
  async function swap() {
    if (busy) { again = true; return; }
    busy = true;
    try {
      do {
        again = false;
        const answer = await fetch(here(), { cache: "no-cache", signal: AbortSignal.timeout(SILENCE) });
        const text = await answer.text();
        if (answer.status === 404) notCurrent("This page is no longer in the book.");
        else if (!answer.ok) notCurrent(news.current ? "The page cannot be written up." : news.why);
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
    renew(now, next);
    document.dispatchEvent(new Event("page"));
    place(now);
  }

  // Puts each piece of the page in place of the former one. Pieces that stay are those read out or pressed: a piece that is
  // replaced is read out again, and loses the focus.
  function renew(now, next) {
    const stays = (piece) => piece.matches("[data-stays]");
    const kept = [...now.children].filter(stays);
    [...now.children].filter((piece) => !stays(piece)).forEach((piece) => piece.remove());
    now.className = next.className;
    let passed = 0;
    for (const piece of [...next.children]) {
      if (stays(piece)) passed += 1;
      else now.insertBefore(document.adoptNode(piece), kept[passed] || null);
    }
    for (const id of ["#unread", "#band"]) {
      const band = now.querySelector(id), said = next.querySelector(id);
      if (band && said && band.innerHTML !== said.innerHTML) band.replaceChildren(...said.childNodes);
    }
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

  // A browser keeps only a few streams open to one host: hidden pages give theirs back.
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden) { clearTimeout(retry); listen(); return; }
    if (stream) stream.close();
    stream = null;
    clearTimeout(silence);
    notCurrent("This page was put away.");
  });
  addEventListener("online", () => { clearTimeout(retry); listen(); });
  // Nobody has said yet that the page is current.
  document.documentElement.classList.add("stale");
  listen();
})();
