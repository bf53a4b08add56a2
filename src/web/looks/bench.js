// Makes the bench live: what is typed is asked for a moment later, and the answer is put in place
// of the old one. Without it the form is sent with its button.
"use strict";
(() => {
  const form = document.querySelector("form[data-live]");
  if (!form) return;
  const place = document.getElementById(form.dataset.live);
  const headline = document.getElementById("headline");
  const WAIT = 180;
  let timer = 0;
  let last = "";
  let running = null;

  const asked = () => {
    const fields = new URLSearchParams();
    for (const [name, text] of new FormData(form)) if (text.trim()) fields.append(name, text);
    return fields.toString();
  };

  // What is open, and what has the focus, as it can be found again in the next answer.
  const opened = () => [...place.querySelectorAll("details[data-key][open]")].map((one) => one.dataset.key);
  const focused = () => {
    const one = document.activeElement;
    if (!one || !place.contains(one)) return null;
    const near = one.closest("[data-key]");
    return near ? near.dataset.key : null;
  };
  const keyed = (key) => [...place.querySelectorAll("[data-key]")].find((one) => one.dataset.key === key);

  const put = (text) => {
    const open = opened();
    const focus = focused();
    place.innerHTML = text;
    for (const key of open) {
      const one = keyed(key);
      if (one) one.open = true;
    }
    if (focus) {
      const one = keyed(focus);
      if (one) (one.querySelector("summary") || one).focus({ preventScroll: true });
    }
    const told = place.querySelector("[data-headline]");
    headline.textContent = told ? told.dataset.headline : "";
    document.dispatchEvent(new Event("lynchet:put"));
  };

  const ask = async () => {
    const query = asked();
    if (query === last) return;
    last = query;
    if (running) running.abort();
    const mine = (running = new AbortController());
    const address = "/" + (query ? "?" + query : "");
    place.setAttribute("aria-busy", "true");
    try {
      const reply = await fetch(address, { headers: { "X-Part": "answer" }, signal: mine.signal });
      const text = await reply.text();
      if (mine !== running) return;
      put(text);
      history.replaceState(null, "", address);
    } catch (fault) {
      if (fault.name !== "AbortError") last = "";
    } finally {
      if (mine === running) place.removeAttribute("aria-busy");
    }
  };

  last = asked();
  form.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(ask, WAIT);
  });
})();
