// Makes the bench live: what is typed is asked for a moment later, and the answer is put in place
// of the old one. Without it the form is sent with its button.
"use strict";
(() => {
  const form = document.querySelector("form[data-live]");
  if (!form) return;
  const place = document.getElementById(form.dataset.live);
  const WAIT = 180;
  let timer = 0;
  let last = "";
  let running = null;

  const asked = () => {
    const fields = new URLSearchParams(new FormData(form));
    for (const [name, text] of [...fields]) if (!text.trim()) fields.delete(name, text);
    return fields.toString();
  };

  const ask = async () => {
    const query = asked();
    if (query === last) return;
    last = query;
    if (running) running.abort();
    const mine = (running = new AbortController());
    const address = form.getAttribute("action") + (query ? "?" + query : "");
    try {
      const reply = await fetch(address, { headers: { "X-Part": "answer" }, signal: mine.signal });
      const text = await reply.text();
      if (mine !== running) return;
      place.innerHTML = text;
      history.replaceState(null, "", address);
    } catch (fault) {
      if (fault.name !== "AbortError") last = "";
    }
  };

  last = asked();
  form.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(ask, WAIT);
  });
})();
