// Sets how large this screen draws a millimetre without asking for the page again, and draws the
// rings so. The cookie is the one that the page itself sets where no script runs.
"use strict";
(() => {
  const KEY = "lynchet-scale";
  const PIXELS = 96 / 25.4;
  const told = new URLSearchParams(location.search).get("scale");
  const kept = () => {
    const held = document.cookie.split("; ").find((pair) => pair.startsWith(KEY + "="));
    return held ? held.slice(KEY.length + 1) : null;
  };
  const keep = (scale) => {
    document.cookie = KEY + "=" + scale + "; Max-Age=31536000; SameSite=Strict; Path=/";
  };
  const known = (text) => {
    const scale = Number.parseFloat(text);
    return scale >= 0.4 && scale <= 3 ? scale : null;
  };
  let scale = known(told) ?? known(kept());

  const draw = () => {
    if (scale === null) return;
    for (const ring of document.querySelectorAll("svg.ring[data-mm]")) {
      const wide = Number(ring.dataset.mm);
      ring.setAttribute("width", (wide * PIXELS * scale).toFixed(1));
      ring.setAttribute("height", (Number(ring.dataset.tall || wide) * PIXELS * scale).toFixed(1));
    }
    for (const note of document.querySelectorAll("[data-unset]")) note.hidden = true;
  };
  document.addEventListener("lynchet:put", draw);

  const sizing = document.getElementById("sizing");
  if (sizing) {
    const slider = sizing.elements.scale;
    const set = (text) => {
      scale = known(text) ?? 1;
      slider.value = scale;
      keep(scale.toFixed(3));
      const onward = document.getElementById("sized");
      // A browser that keeps nothing carries it in the address.
      const address = "/?scale=" + scale.toFixed(3);
      if (onward) onward.setAttribute("href", kept() === scale.toFixed(3) ? "/" : address);
      draw();
    };
    if (scale !== null) slider.value = scale;
    draw();
    slider.addEventListener("input", () => set(slider.value));
    sizing.addEventListener("click", (event) => {
      const step = event.target.closest("a[data-scale]");
      if (!step) return;
      event.preventDefault();
      const steps = [...sizing.querySelectorAll("a[data-scale]")].indexOf(step);
      set(String(Number(slider.value) + [-0.1, -0.01, 0.01, 0.1][steps]));
    });
  } else {
    draw();
  }
})();
