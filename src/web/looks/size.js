// Keeps in this browser how large its screen draws a millimetre, and draws the rings so.
// Without it the setting is carried in the address.
"use strict";
(() => {
  const KEY = "lynchet-scale";
  const PIXELS = 96 / 25.4;
  const told = new URLSearchParams(location.search).get("scale");
  const kept = () => {
    try {
      return localStorage.getItem(KEY);
    } catch {
      return null;
    }
  };
  const keep = (scale) => {
    try {
      localStorage.setItem(KEY, scale);
    } catch {
      // A browser that keeps nothing carries it in the address.
    }
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
      if (onward) onward.setAttribute("href", "/");
      draw();
    };
    if (scale !== null) set(String(scale));
    slider.addEventListener("input", () => set(slider.value));
    sizing.addEventListener("click", (event) => {
      const step = event.target.closest("a[data-scale]");
      if (!step) return;
      event.preventDefault();
      const steps = [...sizing.querySelectorAll("a[data-scale]")].indexOf(step);
      set(String(Number(slider.value) + [-0.1, -0.01, 0.01, 0.1][steps]));
    });
  } else {
    if (known(told) !== null) keep(told);
    draw();
  }
})();
